"""Looks at what enters the exchanger, and refuses what is not what its name says."""

from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

_ON_THE_LINE = 1e-3


def inlets(fluid, streams):
    """Return the two states that enter, or say everything that is wrong with them."""
    checks = Checks()
    slip = "give kg/s inside the package: 30 g/s is 0.03"
    checks.within("mass flow", streams.mass_flow, 0.0005, 0.3, kind="mass_flow", advice=slip)
    highest, critical = fluid.highest_pressure, fluid.critical_pressure
    checks.within("liquid pressure", streams.liquid_pressure, fluid.lowest_pressure, highest, kind="pressure")
    above = "the cold side must be able to boil: were the two sides swapped?"
    if _is_number(streams.vapour_pressure) and streams.vapour_pressure >= 0.98 * critical:
        checks.within("vapour pressure", streams.vapour_pressure, 0.0, 0.98 * critical, kind="pressure", advice=above)
    else:
        checks.within("vapour pressure", streams.vapour_pressure, fluid.lowest_pressure, highest, kind="pressure")
    for name in ("liquid_temperature", "vapour_temperature"):
        if getattr(streams, name) is not None:
            low, high = fluid.lowest_temperature, fluid.highest_temperature
            checks.within(name.replace("_", " "), getattr(streams, name), low, high, kind="temperature")
    checks.raise_if_any()
    if streams.liquid_pressure <= streams.vapour_pressure:
        checks.add(
            "liquid pressure", format_quantity(streams.liquid_pressure, "pressure"),
            f"must be above the vapour pressure {format_quantity(streams.vapour_pressure, 'pressure')}",
            "were the two sides swapped?",
        )  # fmt: skip
    checks.raise_if_any()
    warm, cold = _warm(fluid, streams, checks), _cold(fluid, streams, checks)
    checks.raise_if_any()
    if warm.T <= cold.T + 0.1:
        checks.add(
            "liquid temperature", format_quantity(warm.T, "temperature"),
            f"must be above the vapour temperature {format_quantity(cold.T, 'temperature')}",
            "otherwise the exchanger would run backwards: check the two clamps",
        )  # fmt: skip
    checks.raise_if_any()
    return warm, cold


def _is_number(value):
    return isinstance(value, int | float)


def _warm(fluid, streams, checks):
    p, T = streams.liquid_pressure, streams.liquid_temperature
    # A hair below critical there is no bubble point to speak of.
    is_above = p >= 0.999 * fluid.critical_pressure
    if is_above and T is None:
        checks.add(
            "liquid temperature", "is missing", "",
            f"{fluid.name} has no bubble point at {format_quantity(p, 'pressure')}, above its critical pressure: "
            "give the gas cooler's outlet temperature",
        )  # fmt: skip
        return None
    if is_above:
        return fluid.at(p=p, T=T)
    bubble = fluid.bubble_temperature(p)
    if T is None or abs(T - bubble) <= _ON_THE_LINE:
        return fluid.at(p=p, x=0.0)
    if bubble < T:
        checks.add(
            "liquid temperature", format_quantity(T, "temperature"),
            f"is above the bubble point {format_quantity(bubble, 'temperature')} at this pressure",
            "this model takes pure liquid: with vapour in the liquid line look at charge and condenser first",
        )  # fmt: skip
        return None
    return fluid.at(p=p, T=T)


def _cold(fluid, streams, checks):
    p, T = streams.vapour_pressure, streams.vapour_temperature
    dew = fluid.dew_temperature(p)
    if T is None or abs(T - dew) <= _ON_THE_LINE:
        return fluid.at(p=p, x=1.0)
    if dew > T:
        checks.add(
            "vapour temperature", format_quantity(T, "temperature"),
            f"is below the dew point {format_quantity(dew, 'temperature')} at this pressure",
            "this model takes pure vapour: a valve that floods is for the lesson on valves",
        )  # fmt: skip
        return None
    return fluid.at(p=p, T=T)
