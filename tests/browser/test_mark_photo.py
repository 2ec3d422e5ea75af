"""The mark-a-photo page, from `file:` and under the site's strict policy, touched as people do."""

from __future__ import annotations

import io
import re
from importlib.resources import files
from typing import Any

import pytest
import yaml
from clearover.photos.check import check_corners
from clearover.photos.limits import limits
from clearover.records.tile import Photo
from PIL import Image, ImageDraw

pytestmark = pytest.mark.browser

TILE = [(160, 120), (1000, 140), (980, 760), (150, 740)]
CARD = [(1040, 700), (1180, 700), (1180, 860), (1040, 860)]
CHART = [(190, 775), (400, 780), (398, 890), (188, 885)]
PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}


def drawn(orientation: int = 1) -> bytes:
    """A drawn photo of 1200 × 900 px as seen upright; stored turned where asked."""
    picture = Image.new("RGB", (1200, 900), "#b9a78c")
    pen = ImageDraw.Draw(picture)
    pen.polygon(TILE, fill="#3f6b45")
    pen.polygon(CARD, fill="#777777")
    exif = Image.Exif()
    exif[0x0112] = orientation
    turns = {6: Image.Transpose.ROTATE_90, 3: Image.Transpose.ROTATE_180}
    if orientation in turns:
        picture = picture.transpose(turns[orientation])
    target = io.BytesIO()
    picture.save(target, "JPEG", quality=90, exif=exif)
    return target.getvalue()


def spot(page: Any, point: tuple[float, float]) -> tuple[float, float]:
    """Where a px of the photo stands on the screen."""
    page.locator("[data-part=photo]").scroll_into_view_if_needed()
    box = page.locator("[data-part=photo]").bounding_box()
    return box["x"] + point[0] * box["width"] / 1200, box["y"] + point[1] * box["height"] / 900


def touch(page: Any, points: list[tuple[float, float]]) -> None:
    for point in points:
        page.mouse.click(*spot(page, point))


def record(page: Any) -> dict[str, Any]:
    """The first photo of the lines, read as text, the way records are read."""
    lines = yaml.load(page.input_value("[data-part=lines]"), Loader=yaml.BaseLoader)
    (photo,) = lines["photos"]
    assert isinstance(photo, dict)
    return photo


def corners(page: Any, key: str = "corners") -> list[list[int]]:
    return [[int(x), int(y)] for x, y in record(page)[key]]


def close(found: list[list[int]], wanted: list[tuple[int, int]], px: float = 2) -> bool:
    return all(
        abs(a - b) <= px
        for one, two in zip(found, wanted, strict=True)
        for a, b in zip(one, two, strict=True)
    )


@pytest.mark.parametrize("orientation", [1, 3, 6])
def test_corners_are_counted_upright_at_full_size(opened: Any, orientation: int) -> None:
    page = opened(drawn(orientation))
    touch(page, TILE)
    assert close(corners(page), TILE)
    page.fill("[data-part=width]", "100")
    page.fill("[data-part=height]", "75")
    read = Photo.model_validate(record(page))  # the record's own model takes the lines as they are
    assert (read.file, read.width_mm, read.height_mm) == ("front.jpg", 100, 75)
    assert read.corners is not None and check_corners(read.corners, 1200, 900) is None
    assert page.locator(".mp-warnings li").count() == 0


def test_grey_card_and_backdrop(opened: Any) -> None:
    page = opened(drawn())
    assert page.is_disabled("[data-do=card]") and not page.is_visible("[data-part=grey]")
    touch(page, TILE)
    assert "grey card" not in record(page)
    page.click("[data-do=card]")
    touch(page, CARD)
    page.check("[data-part=plain]")
    assert close(corners(page, "grey card"), CARD) and close(corners(page), TILE)
    read = Photo.model_validate(record(page))
    assert (read.grey_card_reflectance, read.backdrop) == (0.18, "plain")


def test_colour_chart(opened: Any) -> None:
    page = opened(drawn())
    assert page.is_disabled("[data-do=chart]")
    touch(page, TILE)
    page.click("[data-do=chart]")
    assert "dark brown" in page.inner_text("[data-part=ask]")
    touch(page, CHART[:2])
    assert "colour chart" not in record(page)
    assert "black" in page.inner_text("[data-part=ask]")
    touch(page, CHART[2:])
    assert page.inner_text("[data-part=ask]") == "Grid and colour chart are marked."
    assert page.locator(".mp-warnings li").count() == 0
    read = Photo.model_validate(record(page))
    assert read.colour_chart is not None and check_corners(read.colour_chart, 1200, 900) is None
    assert close(corners(page, "colour chart"), CHART) and close(corners(page), TILE)
    page.click("[data-do=card]")
    touch(page, CARD)
    assert page.inner_text("[data-part=ask]") == "Grid, grey card and colour chart are marked."
    assert close(corners(page, "grey card"), CARD) and close(corners(page, "colour chart"), CHART)
    page.click("[data-do=chart]")  # marked anew
    assert "colour chart" not in record(page) and "grey card" in record(page)
    page.click("[data-do=undo]")
    assert close(corners(page, "colour chart"), CHART)


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ((0, 1, 3, 2), "crosses itself. Mark it clockwise, from the dark brown patch"),
        ((0, 3, 2, 1), "The colour chart runs anticlockwise"),
        ((1, 2, 3, 0), "row of six"),  # a chart has a first corner, which its shape betrays
        ((2, 3, 0, 1), ""),
    ],
)
def test_a_chart_wrongly_marked_is_told(opened: Any, order: tuple[int, ...], words: str) -> None:
    page = opened(drawn())
    touch(page, TILE)
    page.click("[data-do=chart]")
    touch(page, [CHART[at] for at in order])
    told = page.locator(".mp-warnings").inner_text()
    assert words in told and bool(told.strip()) == bool(words)


def test_a_chart_by_keyboard_alone(opened: Any) -> None:
    page = opened(drawn())
    for button in ("lay", "card", "lay", "chart", "lay"):
        page.focus(f"[data-do={button}]")
        page.keyboard.press("Enter")
    name = "document.activeElement.getAttribute('aria-label')"
    assert page.evaluate(name).startswith("Colour chart, dark brown: 360, 270")
    page.keyboard.press("ArrowDown")
    assert page.evaluate(name) == "Colour chart, dark brown: 360, 271"
    page.keyboard.press("Tab")
    assert page.evaluate(name).startswith("Colour chart, blue-green")
    assert corners(page, "colour chart")[0] == [360, 271]
    assert corners(page)[0] == [144, 108] and corners(page, "grey card")[0] == [480, 360]


def test_a_fifth_touch_does_nothing(opened: Any) -> None:
    page = opened(drawn())
    touch(page, [*TILE, (600, 400), (700, 500)])
    assert close(corners(page), TILE)


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ((0, 1, 3, 2), "crosses itself"),
        ((0, 3, 2, 1), "anticlockwise"),
        ((1, 2, 3, 0), ""),
    ],
)
def test_wrong_orders_are_told(opened: Any, order: tuple[int, ...], words: str) -> None:
    page = opened(drawn())
    touch(page, [TILE[at] for at in order])
    told = page.locator(".mp-warnings").inner_text()
    assert words in told and bool(told.strip()) == bool(words)
    fault = check_corners([TILE[at] for at in order], 1200, 900)  # page and check agree
    assert bool(fault) == bool(words)


def test_a_tiny_grid_and_a_dented_one(opened: Any) -> None:
    page = opened(drawn())
    touch(page, [(100, 100), (150, 100), (150, 300), (100, 300)])
    assert "tiny" in page.locator(".mp-warnings").inner_text()
    page.click("[data-do=clear]")
    touch(page, [(100, 100), (900, 100), (300, 250), (100, 800)])
    assert "dented" in page.locator(".mp-warnings").inner_text()


def test_swapped_sizes_are_doubted(opened: Any) -> None:
    page = opened(drawn())
    touch(page, TILE)
    page.fill("[data-part=width]", "75")
    page.fill("[data-part=height]", "100")
    assert "swapped" in page.locator(".mp-warnings").inner_text()
    page.fill("[data-part=width]", "134")
    assert page.locator(".mp-warnings li").count() == 0


def test_dragging_keys_and_undo(opened: Any) -> None:
    page = opened(drawn())
    touch(page, TILE)
    page.mouse.move(*spot(page, TILE[0]))
    page.mouse.down()
    assert page.is_visible("[data-part=loupe]")
    page.mouse.move(*spot(page, (200, 200)), steps=4)
    page.mouse.up()
    assert not page.is_visible("[data-part=loupe]")
    assert close(corners(page), [(200, 200), *TILE[1:]])
    before = corners(page)[0]
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowUp")
    assert corners(page)[0] == [before[0] + 3, before[1] - 10]
    page.keyboard.press("Control+z")
    assert corners(page)[0] == before  # a row of key presses is one step
    page.click("[data-do=undo]")
    assert close(corners(page), TILE)
    for _ in range(4):
        page.click("[data-do=undo]")
    assert "corners" not in record(page) and page.is_disabled("[data-do=undo]")


def test_a_corner_cannot_leave_the_photo(opened: Any) -> None:
    page = opened(drawn())
    touch(page, TILE)
    page.mouse.move(*spot(page, TILE[2]))
    page.mouse.down()
    page.mouse.move(*spot(page, (2000, 2000)), steps=3)
    page.mouse.up()
    assert corners(page)[2] == [1200, 900]


def test_by_keyboard_alone(opened: Any) -> None:
    page = opened(drawn())
    page.focus("[data-do=lay]")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith(
        "Grid, top left: 144, 108"
    )
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == (
        "Grid, top left: 144, 109"
    )
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+ArrowLeft")
    assert corners(page)[1] == [1056 - 10, 108]
    assert page.inner_text("[data-part=ask]").startswith("The grid is marked")


def test_on_a_phone(opened: Any) -> None:
    page = opened(drawn(), **PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    for point in TILE:
        page.touchscreen.tap(*spot(page, point))
    assert close(corners(page), TILE, px=6)  # one px of this screen is nearly four of the photo
    page.locator("[data-do=card]").tap()
    for point in CARD:  # its corners lie closer together than a finger is wide
        page.touchscreen.tap(*spot(page, point))
    assert close(corners(page, "grey card"), CARD, px=6)
    controls = "button, label.mp-check, .mp-drop, input[type=number]"
    small = page.evaluate(
        """(controls) => [...document.querySelectorAll(controls)]
        .filter((el) => el.closest("#mark-photo") && el.offsetParent)
        .map((el) => [el.outerHTML.slice(0, 60), el.getBoundingClientRect()])
        .filter(([, box]) => box.width < 44 || box.height < 44)""",
        controls,
    )
    assert small == []
    page.locator("[data-nudge='1 0']").tap()
    assert page.is_visible("[data-part=loupe]")
    page.locator("[data-do=clear]").tap()
    for point in [(2, 2), (1198, 2), (1198, 898), (2, 898)]:  # marks on the border stay on screen
        page.touchscreen.tap(*spot(page, point))
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize(
    "name",
    ["front.jpg", "tile é 花 (2).jpg", "a: b #c.jpg", "'q'.jpg", '"q".jpg', "-x.jpg", " .jpg"],
)
def test_any_name_is_written_so_that_it_reads_back(opened: Any, name: str) -> None:
    page = opened(drawn(), name)
    assert record(page)["file"] == name


def test_the_lines_can_be_copied(opened: Any) -> None:
    page = opened(drawn(), permissions=["clipboard-read", "clipboard-write"])
    touch(page, TILE)
    page.click("[data-do=copy]")
    page.wait_for_selector("[data-part=copied]:has-text('Copied.')")
    assert page.evaluate("navigator.clipboard.readText()") == page.input_value("[data-part=lines]")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic", "most compatible"),
        (b"no photo at all", "cannot be shown"),
        (b"", "cannot be shown"),
    ],
)
def test_what_is_no_photo_is_told(opened: Any, take: Any, content: bytes, words: str) -> None:
    page = opened()
    take(page, content, "a.heic")
    page.wait_for_selector("[data-part=trouble]:not([hidden])")
    assert words in page.inner_text("[data-part=trouble]")
    assert not page.is_visible("[data-part=work]")


def test_a_second_photo_begins_anew(opened: Any, take: Any) -> None:
    page = opened(drawn())
    touch(page, TILE)
    take(page, drawn(), "back.jpg")
    page.wait_for_selector("[data-part=drop-words]:has-text('back.jpg')")
    assert set(record(page)) == {"file"}


def test_without_photo_nothing_but_the_field_is_shown(opened: Any) -> None:
    page = opened()
    assert page.is_visible("[data-part=drop]") and not page.is_visible("[data-part=work]")
    assert "stays on this device" in page.inner_text("main")


def test_it_is_part_of_the_site(page_file: Any, take: Any) -> None:
    page = page_file("photo.html")
    take(page, drawn(6), "front.jpg")
    page.wait_for_selector("[data-part=work]:not([hidden])")
    touch(page, TILE)
    assert close(corners(page), TILE)


def test_the_page_has_nothing_inline_and_the_checks_own_limit() -> None:
    package = files("clearover") / "pages"
    html = (package / "templates/mark_photo.html").read_text(encoding="utf-8")
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=|\{[{%]", html)
    assert f'data-edge-min="{limits().corner_side_min}"' in html
