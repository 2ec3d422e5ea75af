"""All answers, worked out ahead and packed for the browser.

In: findings and the places of cells. Out: entries (one for each distinct answer), and for each
colour, cone and atmosphere the entry of every clear for every wish. Whatever rests on no tile of
its own is the same for all colours of one chemistry, so it is worked out and sent once a group.
Every entry comes from `Findings.one`, the function behind `Findings.answer`: site and command
cannot differ. The browser only takes the worst of several.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from ..evidence.answers import crops_of, rank
from ..evidence.findings import Findings, chemistry_key
from ..evidence.results import STANDINGS, Answer, Seen
from ..evidence.wishes import Wish, wishes
from ..evidence.wording import standing
from ..firing.cone import Cone, same_side
from ..records.words import UNKNOWN
from . import wording
from .cells import Columns
from .names import Names
from .pool import Pool

IN_USE = "in use"
Entry = tuple[int, int, int, int, int, int, int, int, tuple[float, ...]]
Slot = tuple[Cone, str]
Judged = dict[str, dict[str, set[str]]]


@dataclass(slots=True)
class _Packer:
    """What is gathered on the way. `own` maps a slot's number to clear, entry, entry, …"""

    findings: Findings
    names: Names
    columns: Columns
    texts: Pool[str] = field(default_factory=Pool)
    lists: Pool[tuple[int, ...]] = field(default_factory=Pool)
    entries: Pool[Entry] = field(default_factory=Pool)
    rows: Pool[tuple[int, ...]] = field(default_factory=Pool)
    known: dict[int, int] = field(default_factory=dict)
    kept: list[Answer] = field(default_factory=list)
    outside: dict[tuple[str, Slot, str], int] = field(default_factory=dict)

    def entry(self, underglaze: str, clear: str, slot: Slot, wish: Wish) -> int:
        """The place of one answer among the entries."""
        answer = self.findings.one(underglaze, clear, *slot, wish)
        # Shared answers come back as the same object; `kept` holds it, so that no id is reused.
        place = self.known.get(id(answer))
        if place is None:
            place = self.known[id(answer)] = self.entries(self._entry(underglaze, answer, wish))
            self.kept.append(answer)
        return place

    def untested(self, underglaze: str, clear: str, slot: Slot, wish: Wish) -> int:
        """The same where no tile bears on it.

        Outside a clear's cones that is the one reason, whatever the colour: asked once.
        """
        made = self.findings.catalogue.clears[clear].cones
        if made is None or slot[0] in made:
            return self.entry(underglaze, clear, slot, wish)
        key = (clear, slot, wish.id)
        if key not in self.outside:
            self.outside[key] = self.entry(underglaze, clear, slot, wish)
        return self.outside[key]

    def _entry(self, underglaze: str, answer: Answer, wish: Wish) -> Entry:
        return (
            STANDINGS.index(answer.standing),
            self.texts(standing((wish,), answer)),
            self.texts(wording.sentence(answer.reason)),
            answer.cells.good,
            answer.cells.bad,
            answer.cells.unclear,
            self.lists(tuple(self.names.tile_at[tile] for tile in answer.tiles)),
            self.lists(self._shown(underglaze, answer)),
            rank(answer)[:3],
        )

    def _shown(self, underglaze: str, answer: Answer) -> tuple[int, ...]:
        """The cells on the card: of one tile, one for each number of coats of clear.

        An answer that only rests on a tile of the next cone shows that tile.
        """
        if not answer.tiles:
            return ()
        cells = self.findings.by_pairing.get((underglaze, answer.clear), ())
        tile = (
            answer.crops[0][0]
            if answer.crops
            else crops_of(cell for cell in cells if cell.tile in answer.tiles)[0][0]
        )
        best: dict[int, Seen] = {}
        for cell in cells:
            if cell.tile == tile and cell.alone:
                coats = cell.clear_coats or 0
                known = best.get(coats)
                if known is None or (cell.underglaze_coats or 0) > (known.underglaze_coats or 0):
                    best[coats] = cell
        chosen = [best[coats] for coats in sorted(best)]
        return tuple(self.columns.at[cell.tile, cell.row, cell.column] for cell in chosen)

    def packed(self) -> dict[str, object]:
        """Entries as columns; ranks as whole numbers, 0 the best."""
        keys = sorted({entry[8] for entry in self.entries.values})
        place = {key: at for at, key in enumerate(keys)}
        columns = list(zip(*self.entries.values, strict=True)) or [()] * 9
        names = ("standing", "says", "reason", "good", "bad", "unclear", "tiles", "cells")
        packed: dict[str, object] = dict(zip(names, columns[:8], strict=True))
        packed["rank"] = [place[key] for key in columns[8]]
        return packed


def asked_cones(findings: Findings) -> list[Cone]:
    """The cones a member may ask about: those the studio fires and those it has tiles of."""
    studio = findings.catalogue.studio
    usual = {studio.usual_cone} if studio.usual_cone else set()
    return sorted({*studio.cones, *usual, *findings.cones})


def asked_airs(findings: Findings) -> list[str]:
    """The atmospheres a member may ask about, the studio's own first."""
    own = findings.catalogue.studio.atmosphere
    found = {cell.atmosphere for cell in findings.seen if cell.counts} - {own, UNKNOWN}
    return [own, *sorted(found)]


def answers_of(findings: Findings, names: Names, columns: Columns) -> dict[str, object]:
    """Every answer to every question of one colour, with what is needed to join several."""
    packer = _Packer(findings, names, columns)
    judged = _judged(findings)
    slots = [(cone, air) for cone in asked_cones(findings) for air in asked_airs(findings)]
    row_of = [0] * (len(names.underglazes) * len(slots))
    own: dict[str, list[int]] = {}
    for members in _groups(findings, names):
        for at, slot in enumerate(slots):
            beside = judged.get(slot, {})
            shared = _shared(packer, members, slot, beside)
            flat = (number for clear, row in shared.items() for number in (clear, *row))
            row = packer.rows(tuple(flat))
            for member in members:
                number = names.underglaze_at[member] * len(slots) + at
                row_of[number] = row
                tested = _own(packer, member, slot, beside.get(member, {}), shared)
                if tested:
                    own[str(number)] = tested
    return {
        "entries": packer.packed(),
        "texts": packer.texts.values,
        "cell_lists": packer.lists.values,
        "rows": packer.rows.values,
        "row_of": row_of,
        "own": own,
        "beyond": _beyond(findings, names),
    }


def _groups(findings: Findings, names: Names) -> list[list[str]]:
    """Colours of one chemistry: the rules cannot tell them apart, so they share their answers."""
    groups: dict[object, list[str]] = defaultdict(list)
    for id_ in names.underglaze_at:
        groups[chemistry_key(findings.catalogue.underglazes[id_])].append(id_)
    return list(groups.values())


def _judged(findings: Findings) -> dict[Slot, Judged]:
    """Cone and atmosphere -> colour -> clear -> wishes that a tile there, or a cone away, bears on.

    Whatever is not in it rests on no tile, so it is the same for all colours of a group.
    """
    cones = asked_cones(findings)
    close = {
        fired: [one for one in cones if same_side(one, fired) and abs(one.step - fired.step) <= 1]
        for fired in findings.cones
    }
    judged: dict[Slot, Judged] = defaultdict(lambda: defaultdict(lambda: defaultdict(set)))
    for cell in findings.seen:
        if not (cell.counts and cell.alone and cell.cone):
            continue
        if cell.clear not in findings.catalogue.clears:
            continue
        for cone in close[cell.cone]:
            judged[cone, cell.atmosphere][cell.underglaze][cell.clear].update(cell.opinions)
    return judged


def _shared(
    packer: _Packer, members: list[str], slot: Slot, beside: Mapping[str, Mapping[str, set[str]]]
) -> dict[int, list[int]]:
    """Clear -> its entries, as they are for a colour of this group without tiles of its own.

    -1 where every member has its own: nobody will look there.
    """
    rows: dict[int, list[int]] = {}
    for clear, place in packer.names.clear_at.items():
        own = [beside.get(member, {}).get(clear, ()) for member in members]
        rows[place] = []
        for wish in wishes().values():
            untested = next((n for n, had in enumerate(own) if wish.id not in had), None)
            entry = (
                -1 if untested is None else packer.untested(members[untested], clear, slot, wish)
            )
            rows[place].append(entry)
    return rows


def _own(
    packer: _Packer,
    member: str,
    slot: Slot,
    judged: Mapping[str, set[str]],
    shared: Mapping[int, list[int]],
) -> list[int]:
    """Clear and its entries in turn, for the clears that the colour's own tiles bear on."""
    flat: list[int] = []
    for place, clear in sorted((packer.names.clear_at[clear], clear) for clear in judged):
        flat.append(place)
        for at, wish in enumerate(wishes().values()):
            own = wish.id in judged[clear]
            flat.append(packer.entry(member, clear, slot, wish) if own else shared[place][at])
    return flat


def _beyond(findings: Findings, names: Names) -> dict[str, list[int]]:
    """Colour and cone -> clears fired there though not made for it: they are listed all the same.

    Keys are `colour.cone`, both as numbers.
    """
    cones = {cone: at for at, cone in enumerate(asked_cones(findings))}
    found: dict[str, set[int]] = defaultdict(set)
    for (underglaze, cone), clears in findings.fired().items():
        for clear in clears if underglaze in names.underglaze_at else ():
            made = findings.catalogue.clears[clear].cones
            if made is not None and cone not in made:
                key = f"{names.underglaze_at[underglaze]}.{cones[cone]}"
                found[key].add(names.clear_at[clear])
    return {key: sorted(places) for key, places in sorted(found.items())}


def made_for(findings: Findings, names: Names) -> list[list[int]]:
    """Clear by clear, cone by cone: 1 where the clear is made for it, or nobody knows."""
    cones = asked_cones(findings)
    table = []
    for id_ in names.clear_at:
        made = findings.catalogue.clears[id_].cones
        table.append([int(made is None or cone in made) for cone in cones])
    return table
