"""From a tile's record to what is asked of its photo. Knows nothing of pixels."""

from __future__ import annotations

from ..records.tile import Cell, Photo, Tile
from .request import CellRequest, Request


def request_for(tile: Tile, photo: Photo | None = None) -> Request | None:
    """What to measure on a tile's photo, the first with corners unless told; None without one."""
    photo = photo or tile.measured_photo
    if photo is None or photo.corners is None:
        return None
    return Request(
        tile=tile.id,
        photo=photo.file,
        rows=tile.rows,
        columns=tile.columns,
        corners=photo.corners,
        cells=tuple(_cell(cell) for cell in tile.cells),
        width_mm=photo.width_mm,
        height_mm=photo.height_mm,
        grey_card=photo.grey_card,
        reflectance=photo.grey_card_reflectance,
        reflectance_assumed="grey_card_reflectance" not in photo.model_fields_set,
        chart=photo.colour_chart,
        plain_backdrop=photo.backdrop == "plain",
        lower=tile.lower_edge,
        upright=tile.stood != "flat",
        shape=tile.shape,
    )


def _cell(cell: Cell) -> CellRequest:
    width = cell.where.get("line width mm")
    return CellRequest(
        row=cell.row,
        column=cell.column,
        line="line" in cell.where or width is not None,
        line_mm=float(width) if isinstance(width, (int, float)) else None,
        bare=cell.clear == "none",
        where=tuple(sorted((name, str(value)) for name, value in cell.where.items())),
    )
