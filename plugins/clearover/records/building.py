"""From the data of one file to one typed record.

In: a record's data as text. Out: the frozen model, or the faults that kept it from being made.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import ValidationError

from . import fields
from .factors import read_factor
from .faults import Faults
from .judging import read_judged
from .layout import read_layout
from .models import Part, Record
from .tile import Layer, Photo, Tile


@cache
def keys_of(model: type[Part]) -> list[str]:
    """The keys a record (or a group of keys in one) may have, as they are written."""
    return sorted(
        info.alias for info in model.model_fields.values() if info.alias and info.alias[0] != "@"
    )


def build(
    model: type[Record], data: dict[str, Any], ident: str, file: str, faults: Faults
) -> Record | None:
    """The typed record, with its faults noted.

    Where there are faults it holds what could be read, so that the rest is checked in the same
    run; None where not even that makes a record.
    """
    keys = keys_of(model)
    known: dict[str, Any] = {}
    for key, value in data.items():
        if key in keys:
            known[key] = value
        else:
            faults.add((key,), "unknown-key", word=key, kind=model.kind, keys=keys)
    known |= {"@id": ident, "@file": file}
    if model is Tile:
        known |= _tile_parts(known, faults)
    try:
        return model.model_validate(known)
    except ValidationError as error:
        faults.take(error, {"photos": ("photo", keys_of(Photo))})
        wrong = {each["loc"][0] for each in error.errors(include_url=False)}
    try:
        return model.model_validate({k: v for k, v in known.items() if k not in wrong})
    except ValidationError:
        return None


def _tile_parts(known: dict[str, Any], faults: Faults) -> dict[str, Any]:
    """What of a tile is read by our own readers: the layout, the layers, the verdicts."""
    layout = read_layout(known, faults)
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


def _stacks(written: Any, faults: Faults) -> dict[str, tuple[Layer, ...]]:
    if written is None:
        return {}
    if faults.read(("stacks",), fields.as_map, written) is None:
        return {}
    found = {}
    for name, layers in written.items():
        faults.read(("stacks", name), fields.as_id, name)
        items = layers if isinstance(layers, list) else [layers]
        if not items:
            faults.add(("stacks", name), "nothing-written")
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
