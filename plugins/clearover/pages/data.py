"""What can be taken away: the catalogue as JSON and its cells as a table, and what they hold.

In: the site. Out: `data.html`, `data/catalogue.json`, `data/cells.csv`. The files are those of the
`export` command, made by the same function.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..export import files
from ..export.cells_csv import COLUMNS
from .environment import body_environment
from .page import Asset, Page, Site

KEY = re.compile(rb'^"([a-z_]+)":', re.MULTILINE)
"""The file writes each of its own keys at the start of a line; records are indented by a brace."""
COLUMN_WORDS = {
    "tile": "the tile's id; its page is tiles/ID.html",
    "mark": "what is scratched into the clay",
    "row": "from 1, as in the record",
    "column": "from 1, as in the record",
    "layers": "what a stack or a mixture is made of",
    "cone": "the cone reached, as 05, 5 or 5.5; import it as text, 05 and 5 are far apart",
    "cone_in_words": "the same as cone 05, for programs that turn 05 into 5",
    "cone_known_by": "witness, log, aim, tile or unknown",
    "atmosphere": "oxidation, neutral, reduction or unknown",
    "colour_verdict": "verdicts, the newest first, with ; between",
    "line_verdict": "likewise",
    "cover_verdict": "likewise",
    "surface_verdict": "likewise",
    "set_aside": "why the tile does not count, empty where it does",
    "lab_l": "measured colour, CIE 1976 L*, D65, 2°; empty where no photo shows it",
    "lab_a": "a* of it",
    "lab_b": "b* of it",
    "delta_e_to_true": "ΔE00 to the agreed true colour, wetting allowed for",
    "contrast_ratio": "over a dark and a light ground; from 0.98 it hides its ground",
    "contrast_ratio_low": "lower end of its 90 % range; from 0.98 it surely hides its ground",
    "contrast_ratio_high": "upper end of its 90 % range; below 0.98 the ground shows through",
    "drag_mm": "how far a line was dragged downhill, mm",
    "drag_low_mm": "its 90 % range",
    "drag_high_mm": "likewise",
    "measured_status": "measured, or why not",
    "surface_run_mm": "computed: how far the clear's surface ran in the tile's own firing, mm",
    "surface_run_low_mm": "its 90 % range",
    "surface_run_high_mm": "likewise",
    "line_drag_mm": "computed: how far it dragged a line under it; the photo's is drag_mm",
    "line_drag_low_mm": "its 90 % range",
    "line_drag_high_mm": "likewise",
    "movement_status": "computed, or why not",
}
KEY_WORDS = {
    "clearover": "the version that wrote it",
    "studio": "the studio's own record",
    "moved": "old ids and what they are now",
    "left_out": "records with an error, which are not in here",
    "underglazes": "each colour with its record",
    "clears": "each clear: record, chemistry, movement in a usual firing to each cone",
    "bodies": "each clay body",
    "materials": "the studio's own analyses",
    "firings": "each kiln load",
    "tiles": "each tile: record, cells, verdicts, measured, movement, the cone it reached and how",
    "conflicts": "tiles that contradict each other",
}


def pages(site: Site) -> Iterator[Page | Asset]:
    """The page, then the files."""
    made = files(site.findings, site.photos)
    for name, content in made.items():
        yield Asset(f"data/{name}", content)
    body = (
        body_environment()
        .get_template("data.html")
        .render(
            root="",
            files=[(name, f"data/{name}", _size(len(content))) for name, content in made.items()],
            keys=_keys(made["catalogue.json"]),
            columns=[(name, COLUMN_WORDS.get(name, "as in the record")) for name in COLUMNS],
        )
    )
    yield Page(
        address="data.html",
        kind="data",
        title="Data",
        description="Everything on this site as data: JSON, and a table with a row a cell.",
        nav="guide",
        body_html=body,
    )


def _keys(catalogue: bytes) -> list[tuple[str, str]]:
    """The file's own keys, so that the page names what is really there."""
    found = [match.group(1).decode() for match in KEY.finditer(catalogue)]
    return [(key, KEY_WORDS.get(key, "")) for key in found]


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"
