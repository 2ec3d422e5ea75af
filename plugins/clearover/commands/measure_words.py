"""What `clearover measure` says of a tile on a terminal: a report in, its lines out.

In: the dictionary of `measuring.report`. Out: plain sentences for whoever made the tile. Decides
nothing and prints nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from ..colour.seeing import limits
from ..measuring.limits import limit

PLAIN = ("underglaze", "clear", "ground", "body", "line")
"""Factors whose value says by itself what it is."""


def in_words(report: Mapping[str, Any]) -> Iterator[str]:
    """The whole report, line by line; an empty line between its parts."""
    yield f"{report['tile']}, {report['photo']}"
    yield ""
    yield _balance(report["balance"], report["noise_delta_e"])
    if report["balance"]["doubt"]:
        yield f"Doubt: {report['balance']['doubt']}."
    yield from (f"Note: {note}." for note in report["notes"])
    yield from _true(report["cells"])
    every = [*report["cells"], *report["lines"]]
    varied = _varied(every)
    known = f"not measured: {report['balance']['reason']}"
    for told, of in ((_cell, report["cells"]), (_line, report["lines"])):
        said = [(one, told(one)) for one in of if told(one) != known]
        if said:
            yield ""
        for one, words in said:
            yield f"  row {one['row']}, column {one['column']}{_name(one, varied)}: {words}"
    if report["would_help"]:
        yield ""
        yield "What would help:"
    for reason, told in report["would_help"].items():
        yield f"  {reason}: {told}"


def _balance(balance: Mapping[str, Any], noise: float | None) -> str:
    if balance["by"] is None:
        return f"Colours not measured: {balance['reason']}."
    told = f"Balanced by the {'colour chart' if balance['by'] == 'chart' else balance['by']}"
    if balance["reflectance"] is not None:
        told += f" of {_percent(balance['reflectance'])} reflectance"
        told += " (assumed; the record does not say)" if balance["assumed"] else ""
    if balance["error_delta_e"] is not None:
        told += f" (a patch it has not seen is off by ΔE {balance['error_delta_e']:.1f})"
    if balance["evened_by"]:
        told += f". The light, {balance['light_ratio']:.1f} to 1 over the grid, was evened by "
        told += _joined(balance["evened_by"])
    else:
        told += ". Nothing even in the photo shows how the light falls, so it was not evened"
    if noise is not None:
        told += f". Colours nearer than ΔE {noise:.1f} are not told apart"
    return f"{told}."


def _true(cells: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """How far the differences from true may be trusted, once for all cells."""
    compared = [cell for cell in cells if cell["delta_e_to_true"] is not None]
    if any(cell["approximate"] for cell in compared):
        tiles = sorted({cell["true_is"]["tile"] for cell in compared if cell["approximate"]})
        photos = "shows: another photo" if len(tiles) == 1 else "show: other photos"
        yield f"True is what {_joined(tiles)} {photos}, so those differences are about."
    if any(cell["wetting_allowed_for"] for cell in compared):
        yield "What wetting alone would do to a bare colour is allowed for."


def _varied(cells: Sequence[Mapping[str, Any]]) -> list[str]:
    """The factors that are not the same all over the tile."""
    names = dict.fromkeys(name for cell in cells for name in cell["where"])
    return [name for name in names if len({str(cell["where"].get(name)) for cell in cells}) > 1]


def _name(cell: Mapping[str, Any], varied: Iterable[str]) -> str:
    """`, hedge-bottom, 2 clear coats`: in what the cell differs from its neighbours."""
    told = []
    for name in varied:
        value, word = cell["where"].get(name), name.replace("_", " ")
        if value is None:
            continue
        if value == "none":
            told.append(f"no {word}")
        elif name in PLAIN:
            told.append(str(value))
        else:
            told.append(_counted(value, word))
    return "".join(f", {part}" for part in told)


def _counted(value: object, word: str) -> str:
    if isinstance(value, int) and word.endswith("coats"):
        return f"{value} {word[:-1] if value == 1 else word}"
    return f"{word} {value}"


def _cell(cell: Mapping[str, Any]) -> str:
    told = [str(cell["status"])]
    if cell["lab"] is not None:
        light, a, b = (_number(part) for part in cell["lab"])
        word = cell["colour_word"] or "a colour in doubt"
        told = [f"{word} (L* {light}, a* {a}, b* {b})", _difference(cell)]
    if cell["contrast_ratio"] is not None:
        low, high = _percent(cell["contrast_ratio_low"], ""), _percent(cell["contrast_ratio_high"])
        hides = f"hides {_percent(cell['contrast_ratio'])} of its ground ({low} to {high})"
        told.append(f"{hides}: {cell['hides']}{_coats(cell)}")
    if (cell["haze"] or 0) > limit("haze_seen"):
        told.append(f"a veil of {_percent(cell['haze'])}")
    for name in ("pinholes", "bubbles"):
        if cell[f"{name}_per_cm2"]:
            told.append(f"{cell[f'{name}_per_cm2']:.1f} {name} a cm²")
    return "; ".join(part for part in told if part)


def _difference(cell: Mapping[str, Any]) -> str:
    if cell["delta_e_to_true"] is None:
        return str(cell["true_reason"] or "")
    none, slight, clear, _ = (word for _, word, _ in limits())
    number = f"ΔE {'about ' if cell['approximate'] else ''}{cell['delta_e_to_true']:.1f}"
    changes = _joined(cell["changes"])
    if cell["seen_as"] == none:
        return f"as true ({number})"
    if cell["seen_as"] in (slight, clear):
        how = "slightly" if cell["seen_as"] == slight else "clearly"
        return f"{how} {changes or 'different'} {'than' if changes else 'from'} true ({number})"
    return f"a different colour than true{f', {changes}' if changes else ''} ({number})"


def _coats(cell: Mapping[str, Any]) -> str:
    if cell["coats_to_hide"] is None:
        return ""
    low, high = cell["coats_to_hide_low"], cell["coats_to_hide_high"]
    told = f", {cell['coats_to_hide']} coats would hide it"
    if (low, high) == (cell["coats_to_hide"],) * 2:
        return told
    return f"{told} ({'?' if low is None else low} to {'more' if high is None else high})"


def _line(line: Mapping[str, Any]) -> str:
    if line["width_mm"] is None:
        return str(line["status"])
    told = f"{line['width_mm']:.1f} mm wide, {line['kind']}"
    if line["drag_mm"] is None:
        why = line["status"].removeprefix("measured, but no drag: ")
        told += f"; {why}" if "no drag" in why else f"; drag not told: {why}"
    elif abs(line["drag_mm"]) < line["limit_mm"]:
        told += f", no drag seen (less than {line['limit_mm']:.1f} mm)"
    else:
        dragged = line["kind"] == "dragged"
        told += " by " if dragged else ", lower edge wider by "
        told += f"{_number(line['drag_mm'], 1)} mm"
        told += f" ({_number(line['drag_low_mm'], 1)} to {_number(line['drag_high_mm'], 1)})"
    return told + (f"; {line['note']}" if line["note"] else "")


def _number(value: float, places: int = 0) -> str:
    text = f"{value:.{places}f}"
    return text.lstrip("-") if float(text) == 0 else text.replace("-", "−")


def _percent(share: float, sign: str = " %") -> str:
    return f"{100 * share:.0f}{sign}"


def _joined(parts: Sequence[str]) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"
