"""Worked examples of cones, heat work, thickness and movement.

In: the cone curves, a made-up firing, the table of movement. Out: `Example`s. The clear is the one
example glass, fired to cone 6 on an upright wall. See `methods_examples`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from itertools import pairwise

from ..firing.cone import parse_cone
from ..firing.heat_sums import KIND
from ..firing.heat_work import reached
from ..firing.kinetics import GAS_CONSTANT, KELVIN, curves
from ..firing.profile import Profile
from ..firing.schedule import schedule
from ..firing.temperatures import cone_temperature, published
from ..glass import film
from ..glass.flow import Flow
from ..glass.movement import density_of, flow_in, melt_of, moved
from ..glass.movement import wall as wall_of
from ..glass.movement_data import number as figure
from ..glass.movement_data import values
from ..glass.moving import Movement
from .methods_worked import CONE, Example, exact, mol, number

RATE = 100.0
HOURS, CELSIUS = (0.0, 5.0, 7.0, 7.5, 9.0), (20.0, 1020.0, 1205.0, 1205.0, 1000.0)
"""A made-up firing: 200 °C/h, then 92 °C/h, half an hour's hold, down."""


def _cone() -> Example:
    cone = parse_cone(CONE)
    found = cone_temperature(cone, RATE)
    assert found is not None
    piece = next(p for p in reversed(curves(KIND)[cone].pieces) if p.heat <= RATE)
    kelvin, anchor = found + KELVIN, piece.anchor_c + KELVIN
    lift = math.exp(-piece.slope * (1 / kelvin - 1 / anchor))
    heat = piece.heat + piece.gain * (kelvin**2 * lift - anchor**2) / (2 * anchor + piece.slope)
    rows = tuple((f"{exact(rate)} °C/h", f"{exact(end)} °C") for rate, end in published(cone))
    lines = (
        f"Cone {CONE} at {exact(RATE)} °C/h: T = {number(found, 1)} °C = {number(kelvin, 2)} K.",
        f"The piece from {exact(piece.anchor_c)} °C has K₀ = {exact(piece.heat)} °C/h, "
        f"k₀ = {number(piece.gain, 4)} per h, E = {number(piece.slope * GAS_CONSTANT, 1)} kJ/mol, "
        f"E/R = {number(piece.slope, 0)} K.",
        f"K = {exact(piece.heat)} + {number(piece.gain, 4)} × ({number(kelvin, 2)}² × "
        f"{number(lift, 4)} − {number(anchor, 2)}²) ÷ (2 × {number(anchor, 2)} + "
        f"{number(piece.slope, 0)}) = {number(heat, 1)} °C/h: the rate asked for.",
    )
    return Example(("published for cone 6", ""), rows, lines, heat)


def _heat() -> Example:
    cone = parse_cone(CONE)
    curve = curves(KIND)[cone]
    rows, total = [], 0.0
    for (start, cool), (end, hot) in pairwise(zip(HOURS, CELSIUS, strict=True)):
        held = cool == hot
        gain = (
            curve.gain_at(cool)
            if held
            else (curve.heat_at(hot) - curve.heat_at(cool)) / (hot - cool)
        )
        total += (end - start) * gain
        what = f"held at {exact(cool)}" if held else f"{exact(cool)} to {exact(hot)}"
        rows.append((what, exact(end - start), number((end - start) * gain, 4)))
    rows.append(("sum", exact(HOURS[-1]), number(total, 4)))
    found = reached(Profile(HOURS, CELSIUS, "schedule"))
    place = f"cone {found.between[0].shown}" if found.between else "no cone"
    toward = f", {number(100 * (found.fraction or 0), 0)} % of the way to the next"
    lines = (
        f"Cone {CONE} is down at a sum of 1. All cones together: {place} is down{toward}, "
        f"± {number(found.uncertainty_cones or 0, 1)} cones.",
    )
    columns = (f"°C, cone {CONE}", "hours", "share of its heat work")
    return Example(columns, tuple(rows), lines, total)


@cache
def _fired() -> tuple[Flow, Movement, Profile, float]:
    melt = melt_of(mol())
    profile = schedule(parse_cone(CONE))
    assert melt.table is not None
    flow = flow_in(melt.table, profile, figure("spread", "nominal"))
    density = density_of(melt, profile.peak_c)
    assert density.value is not None
    return flow, moved(flow, density, wall_of(), profile.peak_c), profile, density.value


def _run() -> Example:
    flow, movement, profile, density = _fired()
    assert movement.wall is not None and movement.wall.thickness.value is not None
    h = movement.wall.thickness.value / 1000
    share = values("melt")["undissolved share"].value
    stiff = film.stiffness_of(share, figure("line", "jammed share"))
    run = 1000 * density * film.GRAVITY * h * h / 2 * flow.value / stiff
    found = movement.surface_run
    assert found.low is not None and found.high is not None
    lines = (
        f"Fired to cone {CONE} at 60 °C/h, {number(profile.peak_c, 0)} °C at the top: "
        f"F = {flow.value:.4g} per Pa, as much as {number(flow.minutes_at_peak, 0)} minutes at the "
        f"top alone, where log₁₀ η = {number(flow.log10_at_peak)} Pa·s.",
        f"Three brushed coats: h = {number(1000 * h)} mm. ρ = {number(density, 0)} kg/m³, upright. "
        f"K = (1 − {exact(share)} ÷ 0.6)^−2.5 = {number(stiff)}.",
        f"Run = {number(density, 0)} × 9.80665 × 1 × ({number(1000 * h)}·10⁻³)² ÷ 2 × "
        f"{flow.value:.4g} ÷ {number(stiff)} = {number(run)} mm "
        f"({number(found.low)} to {number(found.high)}): {movement.word}.",
    )
    return Example((), (), lines, run)


def _drag() -> Example:
    flow, movement, _, density = _fired()
    assert movement.wall is not None
    thick, high = movement.wall.thickness.value, movement.wall.line.value
    assert thick is not None and high is not None
    h, line = thick / 1000, high / 1000
    jam = figure("line", "jammed share")
    stiff = film.stiffness_of(values("melt")["undissolved share"].value, jam)
    share = values("line")["solid share"].value
    grains = film.stiffness_of(share, jam)
    across = h * line - line * line / 2
    drag = 1000 * density * film.GRAVITY * across * flow.value / stiff / grains
    lines = (
        f"Two coats of a usual line: h_l = {number(1000 * line, 3)} mm; "
        f"K_l = (1 − {exact(share)} ÷ 0.6)^−2.5 = {number(grains)}.",
        f"h h_l − h_l² ÷ 2 = {number(1e6 * across, 5)} mm²; "
        f"drag = {number(drag, 3)} mm in the firing of the example above.",
    )
    return Example((), (), lines, drag)


def _thickness() -> Example:
    seconds, gravity = 5.0, 1.5
    grain, packed = figure("dip", "grain density"), figure("dip", "packed share")
    usual_s, usual_sg = figure("dip", "seconds"), figure("dip", "specific gravity")

    def gain(sg: float) -> tuple[float, float]:
        share = (sg - 1) / (grain - 1)
        return share, share * packed / (packed - share)

    suction = figure("dip", "thickness") / math.sqrt(usual_s) / gain(usual_sg)[1]
    share, kept = gain(gravity)
    value = suction * math.sqrt(seconds) * kept
    lines = (
        f"The usual dip, {exact(usual_s)} s at {exact(usual_sg)}, leaves "
        f"{exact(figure('dip', 'thickness'))} mm: S = {number(suction, 3)} mm per √s.",
        f"{exact(seconds)} s at {exact(gravity)}: φ = ({exact(gravity)} − 1) ÷ ({exact(grain)} − 1)"
        f" = {number(share, 4)}; h = {number(suction, 3)} × √{exact(seconds)} × {number(share, 4)} "
        f"× {exact(packed)} ÷ ({exact(packed)} − {number(share, 4)}) = {number(value)} mm.",
    )
    return Example((), (), lines, value)


EXAMPLES: dict[str, Callable[[], Example]] = {
    "cone-temperature": _cone,
    "heat-work": _heat,
    "movement": _run,
    "line-drag": _drag,
    "thickness": _thickness,
}
