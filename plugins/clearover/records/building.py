"""From the data of one file to one typed record.

In: a record's data as text. Out: the frozen model, or the faults that kept it from being made.
"""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from . import fields
from .factors import read_factor
from .faults import Faults
from .judging import read_judged
from .layout import read_layout
from .models import Record
from .tile import Layer, Tile


def keys_of(model: type[Record]) -> list[str]:
    """The keys a record of this kind may have, as they are written."""
    return sorted(
        info.alias for info in model.model_fields.values() if info.alias and info.alias[0] != "@"
    )


def build(
    model: type[Record], data: dict[str, Any], ident: str, file: str, faults: Faults
) -> Record | None:
    """The typed record, or None with its faults noted."""
    keys = keys_of(model)
    known: dict[str, Any] = {}
    for key, value in data.items():
        if key in keys:
            known[key] = value
        else:
            faults.add((key,), "unknown-key", word=key, kind=model.kind, keys=keys)
    extra = _tile_parts(known, faults) if model is Tile else {}
    record = None
    try:
        record = model.model_validate({**known, **extra, "@id": ident, "@file": file})
    except ValidationError as error:
        faults.take(error, model.kind, keys)
    return None if faults.found else record


def _tile_parts(known: dict[str, Any], faults: Faults) -> dict[str, Any]:
    """What of a tile is read by our own readers: the layout, the layers, the verdicts."""
    layout = read_layout(known, _missing(known.get("missing cells")), faults)
    return {
        "across": layout.across,
        "down": layout.down,
        "all": layout.everywhere,
        "stacks": _stacks(known.get("stacks"), faults),
        "judged": read_judged(known, layout, faults),
        "@cells": layout.cells,
        "@rows": layout.rows,
        "@columns": layout.columns,
    }


def _missing(written: Any) -> set[tuple[int, int]]:
    """The missing cells that are written soundly; the model tells of the others."""
    found = set()
    for pair in written if isinstance(written, list) else ():
        if isinstance(pair, list) and len(pair) == 2 and all(str(n).isdigit() for n in pair):
            found.add((int(pair[0]), int(pair[1])))
    return found


def _stacks(written: Any, faults: Faults) -> dict[str, tuple[Layer, ...]]:
    if written is None:
        return {}
    if not isinstance(written, dict):
        faults.add(("stacks",), "keys-wanted", shape=fields.shape_of(written))
        return {}
    found = {}
    for name, layers in written.items():
        faults.read(("stacks", name), fields.as_id, name)
        items = layers if isinstance(layers, list) else [layers]
        found[name] = tuple(
            layer
            for index, item in enumerate(items)
            if (layer := faults.read(("stacks", name, index), _layer, item))
        )
    return found


def _layer(value: Any) -> Layer:
    """`whitewash-wall 2` or `whitewash-wall`."""
    ident, _, coats = fields.as_text(value).partition(" ")
    if not fields.ID.fullmatch(ident):
        raise fields.fault("bad-layer", word=value)
    if not coats:
        return Layer(ident)
    count = read_factor("underglaze coats", coats)
    return Layer(ident, int(count))
