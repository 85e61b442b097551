"""The condenser fan: how much air it moves against what stands in its way."""

from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.roots import root
from thermo_kit.units import Checks, Spec, quantity

RATED_DENSITY = 1.2


class FanSpec(Spec):
    """A fan by the two ends of its curve, at full speed in air of 1.2 kg/m³: nothing in the way, and flow shut off.

    efficiency: air power divided by electric power.

    Notes: The curve between the two ends is taken as a parabola. A real fan has a kink where it stalls.
    """

    free_flow: float = quantity("air_flow", 0.01, 10.0, "free flow of the fan")
    stall_pressure: float = quantity("pressure_difference", 20.0, 2000.0, "stall pressure of the fan")
    efficiency: float = quantity("ratio", 0.05, 0.9, "fan efficiency", 0.35)


@dataclass(frozen=True, slots=True)
class FanPoint:
    """Where fan and core agree: volume_flow [m³/s], electric_power [W]."""

    volume_flow: float
    electric_power: float


def fan_pressure(fan, *, volume_flow, speed_share=1.0, density=RATED_DENSITY):
    """Return the pressure a fan builds up at one flow; volume_flow [m³/s], speed_share [-], density [kg/m³] → [Pa].

    References: Fan laws (affinity laws), any textbook of fluid machinery: flow ~ speed, pressure ~ density x speed².

    Examples
    --------
    >>> round(fan_pressure(FanSpec(free_flow=0.8, stall_pressure=240.0), volume_flow=0.4))
    180
    """
    scale = density / RATED_DENSITY * fan.stall_pressure
    return scale * (speed_share**2 - (volume_flow / fan.free_flow) ** 2)


def fan_operating_point(fan, core_resistance, *, speed_share=1.0, density=RATED_DENSITY, ram_pressure=0.0):
    """Return the flow at which the fan's pressure equals what the core takes.

    Parameters
    ----------
    fan : FanSpec. The fan.
    core_resistance : callable. Takes a volume flow [m³/s], returns a pressure drop [Pa] that rises with it.
    speed_share : float, [-]. Speed divided by full speed, 0 to 1.2.
    density : float, [kg/m³]. Density of the air in the fan, 0.5 to 2.
    ram_pressure : float, [Pa]. Pressure of the driving wind across the core, 0 to 2000.

    Returns: FanPoint. Flow, electric power. Raises OutOfRangeError if speed, density or ram pressure are
        outside their range; NoSolutionError if neither fan nor wind moves air.

    References: Operating point of fan and system curve, any textbook of fluid machinery.

    Examples
    --------
    >>> fan = FanSpec(free_flow=0.8, stall_pressure=240.0)
    >>> round(fan_operating_point(fan, lambda flow: 375.0 * flow**2).volume_flow, 3)
    0.566
    """
    with Checks() as checks:
        advice = "a share of full speed: 80 % is 0.8"
        checks.within("fan speed share", speed_share, 0.0, 1.2, kind="ratio", advice=advice)
        checks.within("air density", density, 0.5, 2.0, kind="density", advice="1.2 kg/m³ at sea level")
        checks.within("ram pressure", ram_pressure, 0.0, 2000.0, kind="pressure_difference")

    def surplus(flow):
        pressure = fan_pressure(fan, volume_flow=flow, speed_share=speed_share, density=density)
        return pressure + ram_pressure - core_resistance(flow)

    low = 1e-4 * fan.free_flow
    if surplus(low) <= 0.0:
        advice = "the fan stands still and no wind drives air through the core"
        raise NoSolutionError.about("condenser air flow", "is nil", "", advice)
    high = fan.free_flow * (speed_share**2 + ram_pressure / (density / RATED_DENSITY * fan.stall_pressure)) ** 0.5
    flow = root(surplus, low, high, what="condenser air flow", settled=1e-9 * fan.stall_pressure)
    pressure = fan_pressure(fan, volume_flow=flow, speed_share=speed_share, density=density)
    return FanPoint(flow, max(pressure, 0.0) * flow / fan.efficiency if speed_share > 0.0 else 0.0)
