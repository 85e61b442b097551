"""A shut-off valve that should be shut: what still seeps through."""

import math
from dataclasses import dataclass

from thermo_kit.components.expansion_valve.coil import inlet_of
from thermo_kit.components.expansion_valve.flow import discharge_coefficient, orifice_flow
from thermo_kit.components.expansion_valve.spec import EvaporatorDuty, ShutOffSpec
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Checks


@dataclass(frozen=True, kw_only=True)
class ShutResult:
    """What a shut valve lets through, SI.

    shut_off, duty: what was asked; low_pressure: behind it [Pa]; seconds [s]; leak_flow [kg/s]; mass: passed in that
    time [kg]; cooling: heat that the leak takes up while it boils [W]; open_flow: what the open valve alone would pass
    [kg/s]; leak_share: first by last
    """

    shut_off: ShutOffSpec
    duty: EvaporatorDuty
    low_pressure: float
    seconds: float
    leak_flow: float
    mass: float
    cooling: float
    open_flow: float
    leak_share: float


def close_shut_off(shut_off, duty, *, low_pressure, seconds=60.0):
    """Return what seeps through a shut valve while the rest of the system runs on.

    Parameters
    ----------
    shut_off : ShutOffSpec. The valve with its leak.
    duty : EvaporatorDuty. Refrigerant and high side.
    low_pressure : float, [Pa]. Absolute, behind it.
    seconds : float, [s]. How long, 0 to 1e6.

    Returns: ShutResult. Flow, mass, and the cooling it still does. Raises OutOfRangeError if the low pressure is not
        below the high one.

    References: See `orifice_flow`; the expansion valve behind it is taken as wide against the leak.

    Examples
    --------
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> close_shut_off(ShutOffSpec(is_open=False), duty, low_pressure=3e5).leak_flow
    0.0
    """
    fluid, inlet = Refrigerant(duty.refrigerant), inlet_of(duty)
    with Checks() as checks:
        checks.within(
            "low-side pressure",
            low_pressure,
            fluid.lowest_pressure,
            inlet.pressure,
            kind="pressure",
            advice="behind a shut valve the pressure is lower than in front of it",
            exclusive=True,
        )
        checks.within("time", seconds, 0.0, 1e6, kind="time")
    boiling = fluid.dew_temperature(low_pressure)
    liquid, vapour = fluid.at(T=boiling, x=0.0), fluid.at(T=boiling, x=1.0)
    x = max((inlet.enthalpy - liquid.h) / (vapour.h - liquid.h), 0.0)
    volume = (1.0 - x) / liquid.rho + x / vapour.rho
    given = {
        "density": inlet.density,
        "pressure_drop": inlet.pressure - low_pressure,
        "coefficient": discharge_coefficient(inlet_density=inlet.liquid_density, outlet_volume=volume),
    }
    leak = orifice_flow(area=0.25 * math.pi * shut_off.leak_diameter**2, **given)
    wide = orifice_flow(area=0.25 * math.pi * shut_off.seat_diameter**2, **given)
    return ShutResult(
        shut_off=shut_off,
        duty=duty,
        low_pressure=low_pressure,
        seconds=seconds,
        leak_flow=leak,
        mass=leak * seconds,
        cooling=leak * (vapour.h - inlet.enthalpy),
        open_flow=wide,
        leak_share=leak / wide,
    )
