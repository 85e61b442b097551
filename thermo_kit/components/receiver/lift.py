"""What the way from the mouth to the subcooling pass costs, and what of the liquid boils on it."""

import math
from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.units import format_quantity

PIPE_ROUGHNESS = 2e-6
SMALLEST_OPEN_SHARE = 0.02


@dataclass(frozen=True, slots=True)
class LiftResult:
    """The liquid on its way up.

    velocity [m/s]; rise [m]: from the liquid's surface to the outlet; rise_pressure_drop, friction_pressure_drop,
    entrance_pressure_drop, filter_pressure_drop, total_pressure_drop [Pa]; flash_quality: share that boils, by mass;
    flash_volume_share: the same by volume; recondensing_heat [J/kg]; recondensing_share: of the subcooling pass
    """

    velocity: float
    rise: float
    rise_pressure_drop: float
    friction_pressure_drop: float
    entrance_pressure_drop: float
    filter_pressure_drop: float
    total_pressure_drop: float
    flash_quality: float
    flash_volume_share: float
    recondensing_heat: float
    recondensing_share: float


def lift_liquid(*, vessel, fluid, saturation, mass_flow, level, pass_subcooling):
    """Return the pressure lost between surface and subcooling pass, and the flash it makes in saturated liquid.

    mass_flow [kg/s], level [m], pass_subcooling [K].

    Notes
    -----
    The liquid enters the mouth saturated and gains or loses no heat on the way. Vapour takes the liquid's speed.

    References
    ----------
    Colebrook's friction and a sharp entrance (Rennels & Hudson, Pipe Flow, 2012) through `fluids`; mesh by Blevins,
    Applied Fluid Dynamics Handbook (1984), through `fluids`. The flash is an energy balance.
    """
    from fluids.filters import square_edge_screen
    from fluids.fittings import entrance_sharp
    from fluids.friction import friction_factor

    density = saturation.liquid_density
    bore = vessel.standpipe_diameter
    velocity = mass_flow / (density * math.pi / 4.0 * bore**2)
    dynamic = density * velocity**2 / 2.0
    reynolds = density * velocity * bore / saturation.liquid_viscosity
    friction = friction_factor(Re=reynolds, eD=PIPE_ROUGHNESS / bore) * vessel.standpipe_length / bore * dynamic
    # The speed gained in the mouth is pressure lost as well, so it is counted with the entrance.
    entrance = (1.0 + entrance_sharp()) * dynamic
    approach = mass_flow / (density * vessel.filter_area)
    open_share = max(vessel.filter_open_share * (1.0 - vessel.filter_blocked_share), SMALLEST_OPEN_SHARE)
    mesh = square_edge_screen(open_share) * density * approach**2 / 2.0
    rise = vessel.outlet - level
    hydrostatic = density * GRAVITY * rise
    total = hydrostatic + friction + entrance + mesh
    quality, volume_share, heat, share = _flash(fluid, saturation, total, pass_subcooling)
    return LiftResult(
        velocity,
        rise,
        hydrostatic,
        friction,
        entrance,
        mesh,
        total,
        quality,
        volume_share,
        heat,
        share,
    )


def _flash(fluid, saturation, drop, pass_subcooling):
    if drop <= 0.0:
        return 0.0, 0.0, 0.0, 0.0
    pressure = saturation.p - drop
    if pressure < 0.5 * saturation.p:
        raise NoSolutionError(
            Problem(
                "pressure on the way up",
                f"falls by {format_quantity(drop, 'pressure_difference')}",
                "more than half of what is there",
                "less flow, a wider standpipe, or a cleaner filter",
            )
        )
    liquid, vapour = fluid.at(p=pressure, x=0.0), fluid.at(p=pressure, x=1.0)
    heat = saturation.liquid_enthalpy - liquid.h
    quality = heat / (vapour.h - liquid.h)
    volume = quality / vapour.rho
    cold = fluid.at(p=pressure, T=liquid.T - pass_subcooling)
    return quality, volume / (volume + (1.0 - quality) / liquid.rho), heat, heat / (liquid.h - cold.h)
