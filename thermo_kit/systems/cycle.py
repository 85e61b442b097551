"""Solves a refrigerant cycle that is fully specified: pressures, superheat, subcooling, losses, heat exchanger."""

from thermo_kit.errors import NoSolutionError, OutOfRangeError, Problem
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.cycle_result import PLACES, CyclePoint, CycleResult, CycleSpec
from thermo_kit.units import STANDARD_ATMOSPHERE, format_both
from thermo_kit.units.checks import Checks

__all__ = ["CyclePoint", "CycleResult", "CycleSpec", "solve_cycle"]

CLOSURE_LIMIT = 1e-6
HOT_DISCHARGE = 393.15
# Closer than this to the saturation line pressure and temperature do not fix a state.
ON_THE_LINE = 1e-3
_WARMER = ("superheat", "subcooling", "suction_line_temperature_rise")
_DROPS = (
    "evaporator_pressure_drop",
    "suction_line_pressure_drop",
    "discharge_line_pressure_drop",
    "condenser_pressure_drop",
    "liquid_line_pressure_drop",
)


def solve_cycle(spec):
    """Return all six points of a cycle and what it does per kilogram, and in kilowatts if the flow is known.

    Parameters
    ----------
    spec : CycleSpec
        The cycle that is asked for.

    Returns
    -------
    CycleResult
        Points, pressures [Pa], temperatures [K], heats and work [J/kg], capacities [W], closure and notes.

    Raises
    ------
    OutOfRangeError
        If arguments are missing, contradict each other or lie outside their range; names all of them.
    UnknownNameError
        If the refrigerant is not in the workbook.
    NoSolutionError
        If a state leaves the range of the property data, or energy does not balance.

    Notes
    -----
    One-stage cycle, throttling without heat loss, compressor without heat loss. The internal heat exchanger
    gives the same heat to both sides; its effectiveness is a share of the smaller of the two heats that would
    bring one stream to the other's inlet temperature.

    References
    ----------
    Cengel & Boles, Thermodynamics: An Engineering Approach, chapter 11 (ideal and actual cycle); Klein,
    Reindl & Brownell, Int. J. Refrig. 23 (2000) 588-596 (effectiveness of suction-liquid heat exchangers).

    Examples
    --------
    >>> van = solve_cycle(CycleSpec(refrigerant="R-134a", evaporating_temperature=273.15,
    ...                             condensing_temperature=323.15, superheat=5, isentropic_efficiency=0.7))
    >>> round(van.coefficient_of_performance, 2)
    2.86
    """
    fluid = Refrigerant(spec.refrigerant)
    transcritical = _check(spec, fluid)
    outlet = fluid.dew_pressure(spec.evaporating_temperature)
    liquid = spec.gas_cooler_pressure if transcritical else fluid.bubble_pressure(spec.condensing_temperature)
    suction = outlet - spec.suction_line_pressure_drop
    discharge = liquid + spec.condenser_pressure_drop + spec.discharge_line_pressure_drop
    before_valve = liquid - spec.liquid_line_pressure_drop
    after_valve = outlet + spec.evaporator_pressure_drop
    _check_order(fluid, suction, outlet, after_valve, before_valve)

    six = _vapour_above_dew(fluid, outlet, spec.evaporating_temperature, spec.superheat)
    three = _high_side_outlet(fluid, spec, liquid, transcritical)
    four, heat = _exchange(fluid, spec, three, six, before_valve, suction)
    one = _compressor_inlet(fluid, spec, six, heat, suction)
    two = _compressed(fluid, one, discharge, spec.isentropic_efficiency)
    five = fluid.at(p=after_valve, h=four.h)

    effect, work, rejected = six.h - five.h, two.h - one.h, two.h - three.h
    # Suction line warming comes from outside; the exchanger's heat is counted on its vapour side only,
    # so that heat missing on its liquid side shows up here.
    line_heat = one.h - six.h - heat
    closure = abs(effect + work + line_heat - rejected) / max(abs(rejected), 1.0)
    _check_outcome(closure, effect, three.T)
    flow = spec.mass_flow
    points = (one, two, three, four, five, six)
    return CycleResult(
        spec=spec,
        refrigerant=fluid.name,
        points=numbered(points, transcritical),
        evaporating_pressure=outlet,
        condensing_pressure=liquid,
        evaporating_temperature=spec.evaporating_temperature,
        condensing_temperature=None if transcritical else spec.condensing_temperature,
        superheat=spec.superheat,
        suction_superheat=one.T
        - (spec.evaporating_temperature if suction == outlet else fluid.dew_temperature(suction)),
        subcooling=None if transcritical else spec.subcooling,
        discharge_temperature=two.T,
        pressure_ratio=discharge / suction,
        refrigerating_effect=effect,
        compressor_work=work,
        heat_rejected=rejected,
        coefficient_of_performance=effect / work,
        isentropic_efficiency=spec.isentropic_efficiency,
        mass_flow=flow,
        cooling_capacity=None if flow is None else flow * effect,
        compressor_power=None if flow is None else flow * work,
        heat_rejection=None if flow is None else flow * rejected,
        energy_closure=closure,
        notes=_notes(fluid, points, transcritical),
    )


def _check_outcome(closure, effect, outlet_temperature):
    if effect <= 0:
        raise NoSolutionError(
            Problem(
                "refrigerating effect",
                format_both(effect, "specific_enthalpy"),
                f"is not positive: leaving the high side at {format_both(outlet_temperature, 'temperature')} "
                "the refrigerant brings more heat than the evaporator outlet carries away",
                "cool the high-side outlet further or raise the high-side pressure",
            )
        )
    if not closure < CLOSURE_LIMIT:
        raise NoSolutionError(
            Problem(
                "energy balance of the cycle",
                f"is off by {closure:.2g} of the heat rejected",
                f"while it must close within {CLOSURE_LIMIT:g}",
                "move the high-side outlet away from the critical point",
            )
        )


def numbered(states, transcritical):
    """Return the six states of a cycle as numbered, named points."""
    places = PLACES if not transcritical else (*PLACES[:2], "gas cooler outlet", *PLACES[3:])
    return tuple(map(CyclePoint, range(1, 7), places, states))


def _check(spec, fluid):
    """Look at every argument, raise once for all of them, and say whether the high side is transcritical."""
    checks = Checks()
    critical = fluid.critical_temperature - ON_THE_LINE
    within = checks.within
    within(
        "evaporating temperature", spec.evaporating_temperature, fluid.lowest_temperature, critical, kind="temperature"
    )
    transcritical = spec.gas_cooler_pressure is not None or spec.gas_cooler_outlet_temperature is not None
    if transcritical:
        _check_gas_cooler(checks, spec, fluid)
    elif spec.condensing_temperature is None:
        checks.add(
            "condensing temperature",
            "is missing",
            "",
            "give condensing_temperature, or for R-744 gas_cooler_pressure and gas_cooler_outlet_temperature",
        )
    else:
        advice = ""
        given = spec.condensing_temperature
        if fluid.name == "R-744" and isinstance(given, int | float) and critical < given < fluid.highest_temperature:
            advice = "R-744 does not condense above this: give gas_cooler_pressure and gas_cooler_outlet_temperature"
        low = fluid.lowest_temperature
        within("condensing temperature", given, low, critical, kind="temperature", advice=advice)
    for names, high, kind in ((_WARMER, 60.0, "temperature_difference"), (_DROPS, 5e5, "pressure_difference")):
        for name in names:
            value = getattr(spec, name)
            if value != 0.0:
                within(name.replace("_", " "), value, 0.0, high, kind=kind)
    share = "give a share between 0 and 1, for example 0.7 for 70 %"
    within("isentropic efficiency", spec.isentropic_efficiency, 0.05, 1.0, kind="ratio", advice=share)
    within(
        "internal heat exchanger effectiveness",
        spec.internal_heat_exchanger_effectiveness,
        0.0, 1.0, kind="ratio", advice=share,
    )  # fmt: skip
    if spec.mass_flow is not None:
        slip = "give kg/s inside the package (30 g/s is 0.03), or leave it out"
        within("mass flow", spec.mass_flow, 0.0, 1.0, kind="mass_flow", exclusive=True, advice=slip)
    checks.raise_if_any()
    _check_temperatures(checks, spec, transcritical)
    return transcritical


def _check_gas_cooler(checks, spec, fluid):
    if spec.condensing_temperature is not None:
        checks.add(
            "high side",
            "is given twice",
            "",
            "give either condensing_temperature or the two gas cooler values, not both",
        )
    if spec.gas_cooler_pressure is None or spec.gas_cooler_outlet_temperature is None:
        checks.add("gas cooler", "is half given", "", "give both gas_cooler_pressure and gas_cooler_outlet_temperature")
        return
    critical = fluid.critical_pressure
    pressure, temperature = spec.gas_cooler_pressure, spec.gas_cooler_outlet_temperature
    advice = ""
    if isinstance(pressure, int | float) and critical / 3 < pressure <= critical:
        advice = "below the critical pressure the refrigerant condenses: give condensing_temperature and subcooling"
    checks.within("gas cooler pressure", pressure, critical, 16e6, kind="pressure", advice=advice, exclusive=True)
    low, high = fluid.lowest_temperature, fluid.highest_temperature
    checks.within("gas cooler outlet temperature", temperature, low, high, kind="temperature")
    if isinstance(spec.subcooling, int | float) and spec.subcooling > 0:
        checks.add(
            "subcooling",
            format_both(spec.subcooling, "temperature_difference"),
            "has no meaning above the critical pressure",
            "leave it at 0; gas_cooler_outlet_temperature says how far the gas is cooled",
        )


def _check_temperatures(checks, spec, transcritical):
    """Heat must be able to flow the way the cycle says."""
    outlet = spec.evaporating_temperature + spec.superheat
    if transcritical:
        name, high = "gas cooler outlet temperature", spec.gas_cooler_outlet_temperature
        boiling_limit = high
    else:
        name, high = "condenser outlet temperature", spec.condensing_temperature - spec.subcooling
        boiling_limit = spec.condensing_temperature
    if boiling_limit <= spec.evaporating_temperature:
        checks.add(
            "gas cooler outlet temperature" if transcritical else "condensing temperature",
            format_both(boiling_limit, "temperature"),
            f"must be above the evaporating temperature {format_both(spec.evaporating_temperature, 'temperature')}",
            "the high side is the warm side: were the two swapped?",
        )
    elif spec.internal_heat_exchanger_effectiveness > 0 and high <= outlet:
        checks.add(
            name,
            format_both(high, "temperature"),
            f"must be above the evaporator outlet temperature {format_both(outlet, 'temperature')}",
            "otherwise the internal heat exchanger would run backwards: lower superheat or subcooling",
        )
    checks.raise_if_any()


def _check_order(fluid, suction, outlet, after_valve, before_valve):
    checks = Checks()
    low = fluid.lowest_pressure
    if suction <= max(low, 0.2 * outlet):
        checks.add(
            "suction line pressure drop",
            format_both(outlet - suction, "pressure_difference"),
            f"leaves too little of the evaporating pressure {format_both(outlet, 'pressure')}",
            "a suction line loses a few per cent: check the number and its unit",
        )
    if after_valve >= before_valve:
        checks.add(
            "valve inlet pressure",
            format_both(before_valve, "pressure"),
            f"must be above the evaporator inlet pressure {format_both(after_valve, 'pressure')}",
            "lower the pressure drops of liquid line and evaporator, or raise the high side",
        )
    checks.raise_if_any()


def _vapour_above_dew(fluid, p, dew, superheat):
    if superheat <= ON_THE_LINE:
        return fluid.at(p=p, x=1.0)
    return fluid.at(p=p, T=dew + superheat)


def _high_side_outlet(fluid, spec, p, transcritical):
    if transcritical:
        return fluid.at(p=p, T=spec.gas_cooler_outlet_temperature)
    if spec.subcooling <= ON_THE_LINE:
        return fluid.at(p=p, x=0.0)
    return fluid.at(p=p, T=spec.condensing_temperature - spec.subcooling)


def _exchange(fluid, spec, three, six, before_valve, suction):
    """Return the valve inlet and the heat per kilogram that passed from liquid to vapour."""
    effectiveness = spec.internal_heat_exchanger_effectiveness
    if effectiveness == 0.0:
        unchanged = spec.liquid_line_pressure_drop == 0.0
        return (three if unchanged else fluid.at(p=before_valve, h=three.h)), 0.0
    most_from_liquid = three.h - fluid.at(p=before_valve, T=six.T).h
    most_into_vapour = fluid.at(p=suction, T=three.T).h - six.h
    heat = effectiveness * min(most_from_liquid, most_into_vapour)
    if heat <= 0:
        raise NoSolutionError(
            Problem(
                "internal heat exchanger",
                "has no heat to pass on",
                "",
                "its liquid has cooled by pressure loss below the vapour: lower the liquid line pressure drop",
            )
        )
    four = fluid.at(p=before_valve, h=three.h - heat)
    _check_pinch(fluid, three, six, heat, before_valve, suction)
    return four, heat


def _check_pinch(fluid, three, six, heat, before_valve, suction):
    """Above the critical pressure the hot side's specific heat peaks, and the curves may cross in between."""
    if three.p < fluid.critical_pressure:
        return
    # Asked at temperatures, not at heats: a state from pressure and enthalpy costs ten times as much here.
    for share in (0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875):
        T = six.T + share * (three.T - six.T)
        cold, hot = fluid.at(p=suction, T=T), fluid.at(p=before_valve, T=T)
        most = cold.h - six.h + three.h - hot.h
        if heat > most * (1 + 1e-9):
            raise NoSolutionError(
                Problem(
                    "internal heat exchanger effectiveness",
                    "asks for more heat than can flow",
                    f"inside it, near {format_both(T, 'temperature')}, gas and vapour would have to trade places: "
                    f"only {most / heat * 100:.0f} % of that heat can pass",
                    "lower the effectiveness",
                )
            )


def _compressor_inlet(fluid, spec, six, heat, suction):
    # A rise too small to leave the saturation line is none.
    rise = spec.suction_line_temperature_rise if spec.suction_line_temperature_rise > ON_THE_LINE else 0.0
    if spec.suction_line_pressure_drop == 0.0 and heat == 0.0:
        return six if rise == 0.0 else fluid.at(p=suction, T=six.T + rise)
    state = fluid.at(p=suction, h=six.h + heat)
    return state if rise == 0.0 else fluid.at(p=suction, T=state.T + rise)


def _compressed(fluid, inlet, p, efficiency):
    try:
        ideal = fluid.at(p=p, s=inlet.s)
        if efficiency == 1.0:
            return ideal
        return fluid.at(p=p, h=inlet.h + (ideal.h - inlet.h) / efficiency)
    except OutOfRangeError as reason:
        raise NoSolutionError(
            Problem(
                "compressor discharge",
                f"at {format_both(p, 'pressure')}, from vapour at {format_both(inlet.T, 'temperature')}",
                f"leaves the property data of {fluid.name}, which end at "
                f"{format_both(fluid.highest_temperature, 'temperature')} and "
                f"{format_both(fluid.highest_pressure, 'pressure')}",
                "lower superheat, pressure ratio or heat exchanger effectiveness, or raise the isentropic efficiency",
            )
        ) from reason


def _notes(fluid, points, transcritical):
    one, two, three, four, _five, _six = points
    notes = []
    if two.x is not None and two.x < 1 - 1e-6:
        notes.append("The vapour partly condenses while it is compressed: liquid can damage a compressor.")
    if two.T > HOT_DISCHARGE:
        notes.append(
            f"Discharge at {format_both(two.T, 'temperature')} is above "
            f"{format_both(HOT_DISCHARGE, 'temperature')}, where oil and seals begin to suffer (common "
            "practice, no source; the maker's limit decides)."
        )
    if four.x is not None and four.x > 1e-6:
        notes.append("Vapour forms in the liquid line before the valve: it lost more pressure than subcooling covers.")
    if one.p < STANDARD_ATMOSPHERE:
        notes.append("The suction side is below the air pressure at sea level: a leak would draw in air.")
    if transcritical and fluid.name != "R-744":
        notes.append(f"Only R-744 systems are built to run above the critical pressure; {fluid.name} systems are not.")
    if abs(three.p / fluid.critical_pressure - 1) < 0.08 and abs(three.T / fluid.critical_temperature - 1) < 0.015:
        notes.append(
            "The high-side outlet is close to the critical point: small errors there change the capacity a lot."
        )
    return tuple(notes)
