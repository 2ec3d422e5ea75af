"""What is written beside the templates is escaped as they would."""

from clearover.pages.environment import as_td, body_environment, cell_svg
from clearover.pages.pictures import Crop

HOSTILE = """<b>&"'é"""
CROP = Crop('a"b.webp', 160, 0, 160, 120, 480, 240, "", None)
TEMPLATE = """<svg class="crop" viewBox="{{ one.x }} {{ one.y }} {{ one.w }} {{ one.h }}" \
preserveAspectRatio="xMidYMid slice" {% if label %}role="img" aria-label="{{ label }}"{% else %}\
aria-hidden="true"{% endif %}><image href="{{ one.href }}" width="{{ one.width }}" \
height="{{ one.height }}"/></svg>"""


def test_a_crop_is_written_as_a_template_would() -> None:
    template = body_environment().from_string(TEMPLATE)
    for label in ("", HOSTILE):
        assert cell_svg(CROP, label) == template.render(one=CROP, label=label)


def test_a_measured_crop_has_a_band() -> None:
    filled = Crop("a.webp", 0, 0, 160, 120, 480, 240, "", '#a0b0c0"')
    told = cell_svg(filled, HOSTILE)
    assert 'fill="#a0b0c0&#34;"/>' in told and "<b>" not in told
    assert told.count("<svg") == told.count("</svg>") == 2


def test_table_cells_are_escaped() -> None:
    template = body_environment().from_string(
        "{% for value in row %}<td>{{ value }}</td>{% endfor %}"
    )
    for row in ([], ["0.9"], ["–", HOSTILE, "", "−1.5"]):
        assert as_td(row) == template.render(row=row)
