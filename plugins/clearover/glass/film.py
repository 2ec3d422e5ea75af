"""A melted film on a wall: how far its surface runs and how far a line under it is dragged.

In: thickness, density, slope and the melt's fluidity summed over the firing. Out: metres. Knows no
recipe, no tile and no word.

**Surface run.** A Newtonian film of thickness h on a wall at the angle α (90° upright) carries at
the height y above the wall the shear stress τ(y) = ρ g sin α (h - y): the weight of the glaze above
that height. The shear rate is τ/η; summed from the wall, where nothing slips, to y this gives the
velocity v(y) = ρ g sin α (h y - y²/2) / η, at the surface v(h) = ρ g sin α h² / (2 η), and on
average over the thickness two thirds of that (W. Nusselt, 1916; H. Jeffreys, 1930).
Over a firing h stays what it is once melted and η follows the temperature, so

    run = ρ g sin α (h²/2) ∫ dt / η(T(t)).

**Line drag.** A line of colour at the wall, of height h_l ≤ h and stiffer than the clear by the
factor k (η_l = k η), bears the same stress. Only the shear inside the line moves its top:
v(h_l) = ρ g sin α (h h_l - h_l²/2) / (k η), and with it

    drag = ρ g sin α (h h_l - h_l²/2) / k · ∫ dt / η(T(t)).

Since h h_l - h_l²/2 <= h²/2 and k >= 1, a line is never dragged farther than the surface runs:
3 to 15 times less for usual lines. The two-layer form is derived here; no published measurement of
lines under a glaze was found.

**What it leaves out.** Edges: within twice the run below its upper rim the film has thinned
(Jeffreys), so a run longer than the piece is high only says that the glaze runs off it. Surface
tension: it rules what is smaller than √(σ/ρg), some 3.6 mm. Bubbles, crystals, dissolved body.
The functions after `stiffness_of` say how large such effects are; no page asks them.
"""

from __future__ import annotations

import math

GRAVITY = 9.80665
"""m/s². Source: Bureau International des Poids et Mesures, 1901, 3rd CGPM, standard gravity."""


def weight_along(density: float, slope_deg: float) -> float:
    """The part of a cubic metre's weight that pulls along the wall, N/m³; density in kg/m³.

    Exactly 0 for a piece that lies flat.
    """
    if slope_deg == 0:
        return 0.0
    return density * GRAVITY * math.sin(math.radians(slope_deg))


def height_factor(thickness: float, line: float) -> float:
    """h h_l - h_l²/2, m²: what the shear below the height `line` sums to, both in m.

    With line = thickness it is h²/2, the surface's own. A line thicker than the film ends at the
    film's surface.
    """
    line = min(line, thickness)
    return thickness * line - line * line / 2


def velocity_at(height: float, thickness: float, pull: float, viscosity: float) -> float:
    """How fast the film moves at a height above the wall, m/s; `pull` from `weight_along`."""
    return pull * height_factor(thickness, height) / viscosity


def mean_velocity(thickness: float, pull: float, viscosity: float) -> float:
    """How fast the film moves on average, and its front advances, m/s."""
    return 2 / 3 * velocity_at(thickness, thickness, pull, viscosity)


def surface_run(thickness: float, pull: float, flow: float) -> float:
    """How far the surface runs, m. `flow` is ∫ dt/η over the firing, 1/Pa."""
    return pull * height_factor(thickness, thickness) * flow


def line_drag(thickness: float, line: float, stiffness: float, pull: float, flow: float) -> float:
    """How far the top of a line at the wall is dragged, m. `stiffness` is η_line/η_clear, >= 1."""
    return pull * height_factor(thickness, line) / stiffness * flow


def stiffness_of(share: float, most: float = 0.6) -> float:
    """How much stiffer solid grains make a melt; `share` by volume, `most` where it jams.

    R. Roscoe, 1952, "The viscosity of suspensions of rigid spheres", British Journal of Applied
    Physics 3, 267 (after A. Einstein, 1906); from memory. (1 - share/most)^-2.5, share < most.
    """
    return float((1 - share / most) ** -2.5)


def levelling_time(wavelength: float, thickness: float, tension: float, viscosity: float) -> float:
    """In how many seconds a small ripple of the surface falls to 1/e. SI; tension in N/m.

    S. E. Orchard, 1962, "On surface levelling in viscous liquids and gels", Applied Scientific
    Research A 11, 451: 3 η λ⁴ / (16 π⁴ σ h³), for ripples much longer than the film is thick.
    """
    return 3 * viscosity * wavelength**4 / (16 * math.pi**4 * tension * thickness**3)


def yield_thickness(yield_stress: float, density: float, slope_deg: float = 90) -> float:
    """Up to which thickness a raw, gelled coat stays where it is, m (Bingham film; from memory)."""
    pull = weight_along(density, slope_deg)
    return yield_stress / pull if pull else math.inf


def front(volume: float, pull: float, viscosity: float, seconds: float) -> float:
    """How far the front of a strip of `volume` m³ per m of width has come when it has run long.

    H. E. Huppert, 1982, "Flow and instability of a viscous current down a slope", Nature 300, 427;
    from memory: (9 A² g sin α t / (4 ν))^(1/3). Holds only beyond the strip's own length.
    """
    return float((9 * volume**2 * pull * seconds / (4 * viscosity)) ** (1 / 3))


def capillary_length(tension: float, density: float) -> float:
    """√(σ/ρg), m: what is smaller is ruled by surface tension and not by weight."""
    return math.sqrt(tension / (density * GRAVITY))


def bubble_rise(radius: float, density: float, viscosity: float) -> float:
    """How fast a clean bubble rises in the melt, m/s: ρ g r² / (3 η).

    J. Hadamard, 1911, and W. Rybczynski, 1911; from memory. A skinned bubble is 2/3 as fast.
    """
    return density * GRAVITY * radius**2 / (3 * viscosity)
