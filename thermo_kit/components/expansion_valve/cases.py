"""Faults of a valve by name and size, and where along the evaporator they show."""

import math
from dataclasses import dataclass, replace

from thermo_kit.components.expansion_valve.solve import ValveResult, solve_valve
from thermo_kit.components.expansion_valve.spec import ShutOffSpec, ValveFault
from thermo_kit.units import Amount, Checks, Said

WIDEST_LEAK = 1e-3
MOST_FLASH = 0.3
_PLACES = 41

FAULTS = ("none", "bulb charge lost", "pin stuck", "bulb loose", "flash gas at the inlet", "shut-off told to shut")


@dataclass(frozen=True, kw_only=True)
class FaultCase:
    """A sound valve and the same with a fault: sound, faulty; meaning: the fault in words; places along the evaporator,
    0 to 1, and sound_temperatures and faulty_temperatures there [K]"""

    sound: ValveResult
    faulty: ValveResult
    meaning: str | Said
    places: tuple[float, ...]
    sound_temperatures: tuple[float, ...]
    faulty_temperatures: tuple[float, ...]


def fault_case(spec, duty, *, fault, size):
    """Return what a valve does when sound and with one fault.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    duty : EvaporatorDuty. What it is fed with and feeds.
    fault : str. One of `FAULTS`.
    size : float, [-]. How large the fault is, 0 to 1: place where the pin sticks, share of ambient air that the bulb
        feels, vapour share as part of 30 %, leak as part of a hole of 1 mm.

    Returns: FaultCase. Both results, the fault in words, and temperatures along the evaporator. Raises OutOfRangeError
        if the fault is not known or its size is out of range.

    Notes: Definition of the cases; the numbers come from `solve_valve`.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import EvaporatorDuty
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> fault_case(valve, duty, fault="pin stuck", size=0.8).faulty.verdict
    'flooding'
    """
    with Checks() as checks:
        checks.one_of("fault", fault, FAULTS)
        checks.within("size of the fault", size, 0.0, 1.0, kind="ratio", advice="50 % is 0.5")
    sound = solve_valve(spec, duty)
    own, own_duty, shut_off, meaning = ValveFault(), duty, ShutOffSpec(), "all as it should be"
    if fault == "bulb charge lost":
        own, meaning = ValveFault(bulb_lost=True), "only air pressure is left above the diaphragm"
    elif fault == "pin stuck":
        own, meaning = ValveFault(stuck_at=size), f"the pin sticks at {size * 100:.0f} % of its way"
    elif fault == "bulb loose":
        own = ValveFault(bulb_loose_share=size)
        meaning = f"the bulb feels {size * 100:.0f} % of the way from the line to the ambient air"
    elif fault == "flash gas at the inlet":
        own_duty = replace(duty, subcooling=0.0, inlet_quality=MOST_FLASH * size)
        meaning = f"the liquid line carries {MOST_FLASH * size * 100:.0f} % vapour by mass and no subcooling"
    elif fault == "shut-off told to shut":
        shut_off = ShutOffSpec(is_open=False, leak_diameter=WIDEST_LEAK * size)
        hole = Amount(size * WIDEST_LEAK, "length", 3)
        meaning = "it shuts tight" if size == 0 else Said("it leaks like a hole of {}", hole)
    faulty = solve_valve(spec, own_duty, fault=own, shut_off=shut_off)
    grid = {k / (_PLACES - 1) for k in range(_PLACES)}
    places = tuple(sorted(grid | {sound.boiling_share, faulty.boiling_share}))
    return FaultCase(
        sound=sound,
        faulty=faulty,
        meaning=meaning,
        places=places,
        sound_temperatures=_along(sound, places),
        faulty_temperatures=_along(faulty, places),
    )


def _along(result, places):
    """Temperatures along the evaporator: level where it boils, then nearing the air's."""
    drive = result.duty.air_temperature - result.evaporating_temperature
    boil = result.boiling_share
    if boil >= 1.0:
        return (result.evaporating_temperature,) * len(places)
    left = max(1.0 - result.superheat / drive, 1e-12)
    units = -math.log(left) / (1.0 - boil)
    return tuple(
        result.evaporating_temperature + drive * -math.expm1(-units * max(place - boil, 0.0)) for place in places
    )
