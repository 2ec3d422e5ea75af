"""What is packed for the browser is what `Findings.answer` says: unpacked here and compared."""

from __future__ import annotations

from typing import Any

from clearover.evidence.findings import Findings
from clearover.evidence.results import Answer, Question
from clearover.evidence.wishes import wishes
from clearover.finder import wording

Row = tuple[str, str, str, tuple[int, int, int], tuple[str, ...]]


def unpacked(
    question: Question, findings: Findings, data: dict[str, Any], names: dict[str, Any]
) -> list[Row]:
    """A plain reading of the packed answers, as the browser's, but written apart from it."""
    packed, entries = data["answers"], data["answers"]["entries"]
    cone = data["asked_cones"].index(question.cone.label)
    air = data["asked_atmospheres"].index(question.atmosphere)
    ids = [row[0] for row in names["clears"]]
    places = [[row[0] for row in names["underglazes"]].index(u) for u in question.underglazes]
    asked = [list(wishes()).index(wish) for wish in question.wishes]
    found: dict[int, list[int]] = {}
    for place in places:
        slot = (place * len(data["asked_cones"]) + cone) * len(data["asked_atmospheres"]) + air
        row = list(packed["rows"][packed["row_of"][slot]]) + packed["own"].get(str(slot), [])
        table = {row[n]: row[n + 1 : n + 5] for n in range(0, len(row), 5)}
        for clear, of in table.items():
            found.setdefault(clear, []).extend(of[wish] for wish in asked)
    rows = []
    for clear, of in found.items():
        beyond = any(clear in packed["beyond"].get(f"{place}.{cone}", ()) for place in places)
        listed = data["clears"]["made_for"][clear][cone] or beyond
        if not question.include_all and not (data["clears"]["in_use"][clear] and listed):
            continue
        rank, _, worst = max((entries["rank"][n], -at, n) for at, n in enumerate(of))
        rows.append((rank, ids[clear], worst))
    return [
        (
            clear,
            data["standings"][entries["standing"][n]],
            packed["texts"][entries["reason"][n]],
            (entries["good"][n], entries["bad"][n], entries["unclear"][n]),
            tuple(names["tiles"][t][0] for t in packed["cell_lists"][entries["tiles"][n]]),
        )
        for _, clear, n in sorted(rows)
    ]


def as_row(answer: Answer) -> Row:
    cells = answer.cells
    return (
        answer.clear,
        answer.standing,
        wording.sentence(answer.reason),
        (cells.good, cells.bad, cells.unclear),
        answer.tiles,
    )


def test_packed_answers_are_those_of_the_command(
    questions: list[Question], findings: Findings, data: dict[str, Any], names: dict[str, Any]
) -> None:
    standings = set()
    for question in questions:
        expected = [as_row(answer) for answer in findings.answer(question)]
        assert unpacked(question, findings, data, names) == expected, question
        standings |= {row[1] for row in expected}
    assert len(standings) >= 5  # the questions reach good and bad, tested and untested


def test_cards_show_cells_of_the_pairing_asked(
    findings: Findings, data: dict[str, Any], names: dict[str, Any]
) -> None:
    cells, lists = data["cells"], data["answers"]["cell_lists"]
    entries = data["answers"]["entries"]
    wide = 1 + len(wishes())
    slots = len(data["asked_cones"]) * len(data["asked_atmospheres"])
    shown = 0
    for slot, flat in data["answers"]["own"].items():
        for at in range(0, len(flat), wide):
            for entry in flat[at + 1 : at + wide]:
                for cell in lists[entries["cells"][entry]]:
                    assert cells["underglaze"][cell] == int(slot) // slots
                    assert cells["clear"][cell] == flat[at]
                    shown += 1
    assert shown > 100


def test_a_tested_answer_has_cells_to_show(data: dict[str, Any]) -> None:
    entries, lists = data["answers"]["entries"], data["answers"]["cell_lists"]
    tested = [n for n, s in enumerate(entries["standing"]) if data["standings"][s] == "tested"]
    assert tested
    for n in tested:
        assert lists[entries["cells"][n]]
        assert lists[entries["tiles"][n]]


def test_no_entry_stands_where_nobody_looks(data: dict[str, Any]) -> None:
    packed = data["answers"]
    wide = 1 + len(wishes())
    for slot, row in enumerate(packed["row_of"]):
        flat = packed["rows"][row]
        own = packed["own"].get(str(slot), [])
        covered = {own[n] for n in range(0, len(own), wide)}
        for at in range(0, len(flat), wide):
            if -1 in flat[at + 1 : at + wide]:
                assert flat[at] in covered
        assert -1 not in own
