"""A valve over superheat and low side, with a fault of a given size, and shut off."""

import math
from dataclasses import dataclass, replace

from thermo_kit.components.expansion_valve.forces import maximum_operating_pressure, port_area, superheat_for
from thermo_kit.components.expansion_valve.solve import Feed, LumpedCoil, ValveResult, inlet_of, solve_valve
from thermo_kit.components.expansion_valve.spec import CHARGES, ExpansionValveSpec, ShutOffSpec, ValveFault
from thermo_kit.substances import Refrigerant
from thermo_kit.units import Amount, Checks, Said

HIGHEST_SUPERHEAT = 25.0
_STEPS = 51
LOWEST_BOILING, HIGHEST_BOILING = 243.15, 298.15
_BOILING_STEPS = 45


@dataclass(frozen=True, kw_only=True)
class OpeningCurves:
    """How a valve opens, SI.

    spec: what was asked; evaporating_temperature [K] and superheat [K]: where the valve stands; superheats [K]
    and flows [kg/s]: the opening curve there; static_superheat: at which it leaves its seat [K], None where it cannot;
    full_superheat: at which it is fully open [K], None where it cannot; flow: at the superheat asked [kg/s];
    full_flow: of the fully open valve [kg/s]; boiling: evaporating temperatures [K]; flows_by_charge: name of the
    charge and the flow at each of them with the superheat asked [kg/s]; maximum_operating_pressure [Pa] and
    maximum_operating_temperature [K], its dew temperature: of the gas charge with this spring
    """

    spec: ExpansionValveSpec
    evaporating_temperature: float
    superheat: float
    superheats: tuple[float, ...]
    flows: tuple[float, ...]
    static_superheat: float | None
    full_superheat: float | None
    flow: float
    full_flow: float
    boiling: tuple[float, ...]
    flows_by_charge: tuple[tuple[str, tuple[float, ...]], ...]
    maximum_operating_pressure: float
    maximum_operating_temperature: float


def opening_curves(spec, duty, *, evaporating_temperature, superheat):
    """Return flow over superheat, and flow over the evaporating temperature for each charge.

    Parameters
    ----------
    spec : ExpansionValveSpec. The valve.
    duty : EvaporatorDuty. High side and pressure drop; its evaporator is not asked.
    evaporating_temperature : float, [K]. Dew temperature at the evaporator outlet, 243.15 to 298.15.
    superheat : float, [K]. At the bulb, 0 to 25.

    Returns: OpeningCurves. Curves and the marks on them. Raises OutOfRangeError if a value is out of range.

    References: See `force_balance` and `orifice_flow`.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import EvaporatorDuty
    >>> from thermo_kit.fleet import part_of
    >>> valve = part_of("older_van", "expansion_valve")
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> curves = opening_curves(valve, duty, evaporating_temperature=273.15, superheat=7.0)
    >>> round(curves.static_superheat, 1)
    4.0
    """
    with Checks() as checks:
        checks.within(
            "evaporating temperature", evaporating_temperature, LOWEST_BOILING, HIGHEST_BOILING, kind="temperature"
        )
        checks.within("superheat", superheat, 0.0, HIGHEST_SUPERHEAT, kind="temperature_difference")
    inlet = inlet_of(duty)
    coil = LumpedCoil(duty, inlet, evaporating_temperature)
    static, full = (superheat_for(spec, coil.fluid, coil.pressure, duty.pressure_drop, share) for share in (0.0, 1.0))
    kinks = {value for value in (static, full) if value is not None and 0.0 < value < HIGHEST_SUPERHEAT}
    superheats = tuple(sorted({HIGHEST_SUPERHEAT * k / (_STEPS - 1) for k in range(_STEPS)} | kinks))
    boiling = tuple(
        LOWEST_BOILING + (HIGHEST_BOILING - LOWEST_BOILING) * k / (_BOILING_STEPS - 1) for k in range(_BOILING_STEPS)
    )

    def passes(valve, pressure, bulb_temperature):
        return through(
            Feed(valve, duty, ValveFault(), ShutOffSpec(), inlet).opening(pressure, bulb_temperature), pressure
        )

    def through(area, pressure):
        return inlet.through(area, pressure + duty.pressure_drop, coil.behind_volume)

    valves = {charge: replace(spec, charge=charge) for charge in CHARGES}
    by_charge = tuple(
        (charge, tuple(passes(valve, coil.fluid.dew_pressure(T), T + superheat) for T in boiling))
        for charge, valve in valves.items()
    )
    limit = maximum_operating_pressure(valves["gas charge"], refrigerant=duty.refrigerant)
    return OpeningCurves(
        spec=spec,
        evaporating_temperature=evaporating_temperature,
        superheat=superheat,
        superheats=superheats,
        flows=tuple(passes(spec, coil.pressure, evaporating_temperature + value) for value in superheats),
        static_superheat=static,
        full_superheat=full,
        flow=passes(spec, coil.pressure, evaporating_temperature + superheat),
        full_flow=through(port_area(spec, spec.full_lift), coil.pressure),
        boiling=boiling,
        flows_by_charge=by_charge,
        maximum_operating_pressure=limit,
        maximum_operating_temperature=coil.fluid.dew_temperature(limit),
    )


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


@dataclass(frozen=True, kw_only=True)
class ShutResult:
    """What a shut valve lets through, SI.

    leak_flow [kg/s]; cooling: heat that the leak takes up while it boils [W]
    """

    leak_flow: float
    cooling: float


def close_shut_off(shut_off, duty, *, low_pressure):
    """Return what seeps through a shut valve while the rest of the system runs on.

    Parameters
    ----------
    shut_off : ShutOffSpec. The valve with its leak.
    duty : EvaporatorDuty. Refrigerant and high side.
    low_pressure : float, [Pa]. Absolute, behind it.

    Returns: ShutResult. Flow, and the cooling it still does. Raises OutOfRangeError if
        the low pressure is not below the high one.

    References: See `orifice_flow`; the expansion valve behind it is taken as wide against the leak.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import EvaporatorDuty
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> close_shut_off(ShutOffSpec(is_open=False), duty, low_pressure=3e5).leak_flow
    0.0
    """
    fluid, inlet = Refrigerant(duty.refrigerant), inlet_of(duty)
    low, high = fluid.lowest_pressure, inlet.pressure
    advice = "behind a shut valve the pressure is lower than in front of it"
    with Checks() as checks:
        checks.within("low-side pressure", low_pressure, low, high, kind="pressure", advice=advice, exclusive=True)
    coil = LumpedCoil(duty, inlet, fluid.dew_temperature(low_pressure))
    area = 0.25 * math.pi * shut_off.leak_diameter**2
    leak = inlet.through(area, low_pressure, coil.behind_volume)
    return ShutResult(leak_flow=leak, cooling=leak * (coil.vapour.h - inlet.enthalpy))
