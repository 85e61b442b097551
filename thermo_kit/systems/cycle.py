"""The vapour-compression cycle from a specification: saturated, with losses, above the critical point."""

import functools
from dataclasses import MISSING, dataclass, field
from typing import NamedTuple

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.laws.closure import closed
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, StatePoint, canonical_name
from thermo_kit.substances.refrigerant import HIGHEST_TEMPERATURE, LOWEST_TEMPERATURE
from thermo_kit.units import STANDARD_ATMOSPHERE, Amount, Checks, Said, Spec, asked, asked_of, one_of, quantity

PLACES = (
    "compressor inlet",
    "compressor outlet",
    "condenser outlet",
    "valve inlet",
    "evaporator inlet",
    "evaporator outlet",
)
"""The six numbered points in the direction of flow; above the critical pressure number 3 is "gas cooler outlet"."""
AS_SHARE = "give a share between 0 and 1, for example 0.7 for 70 %"
# Closer than this to the saturation line pressure and temperature do not fix a state.
ON_THE_LINE = 1e-3
CLOSEST_TO_CRITICAL = 1.0


def temperature(words, default=None):
    """Declare a temperature for which there are refrigerant data."""
    return quantity("temperature", LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE, words, default)


def difference(words, default=0.0):
    """Declare how much warmer or colder something is."""
    return quantity("temperature_difference", 0.0, 60.0, words, default)


def loss(words):
    """Declare a pressure lost on the way."""
    return quantity("pressure_difference", 0.0, 5e5, words, 0.0)


def share(words, low, default):
    """Declare a share."""
    return quantity("ratio", low, 1.0, words, default, advice=AS_SHARE)


class CycleSpec(Spec):
    """A refrigerant cycle as one would write it on the board.

    Give `condensing_temperature` (and `subcooling`) for a condenser, or `gas_cooler_pressure` and
    `gas_cooler_outlet_temperature` for R-744 above its critical pressure. Evaporating temperature is dew at the
    evaporator outlet, condensing temperature bubble at the condenser outlet; superheat is that of the evaporator
    outlet. Without a mass flow everything is per kilogram.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    evaporating_temperature: float = temperature("evaporating temperature", MISSING)
    condensing_temperature: float | None = temperature("condensing temperature")
    subcooling: float = difference("subcooling")
    gas_cooler_pressure: float | None = quantity("pressure", 1e6, 16e6, "gas cooler pressure", None)
    gas_cooler_outlet_temperature: float | None = temperature("gas cooler outlet temperature")
    superheat: float = difference("superheat")
    suction_line_temperature_rise: float = difference("suction line temperature rise")
    isentropic_efficiency: float = share("isentropic efficiency", 0.05, 1.0)
    evaporator_pressure_drop: float = loss("evaporator pressure drop")
    suction_line_pressure_drop: float = loss("suction line pressure drop")
    discharge_line_pressure_drop: float = loss("discharge line pressure drop")
    condenser_pressure_drop: float = loss("condenser pressure drop")
    liquid_line_pressure_drop: float = loss("liquid line pressure drop")
    internal_heat_exchanger_effectiveness: float = share("internal heat exchanger effectiveness", 0.0, 0.0)
    mass_flow: float | None = quantity(
        "mass_flow", 0.0, 1.0, "mass flow", None, exclusive=True,
        advice="give kg/s inside the package (30 g/s is 0.03), or leave it out",
    )  # fmt: skip

    def fit(self, checks):
        fluid = Refrigerant(self.refrigerant)
        low, critical = fluid.lowest_temperature, fluid.critical_temperature - ON_THE_LINE
        checks.within("evaporating temperature", self.evaporating_temperature, low, critical, kind="temperature")
        condensing, pressure = self.condensing_temperature, self.gas_cooler_pressure
        if condensing is not None:
            is_gas = fluid.name == "R-744" and critical < condensing < fluid.highest_temperature
            advice = "R-744 does not condense above this: give gas_cooler_pressure and gas_cooler_outlet_temperature"
            checks.within(
                "condensing temperature", condensing, low, critical, kind="temperature", advice=advice if is_gas else ""
            )
        if pressure is not None:
            boils = fluid.critical_pressure / 3 < pressure <= fluid.critical_pressure
            advice = "below the critical pressure the refrigerant condenses: give condensing_temperature and subcooling"
            checks.within(
                "gas cooler pressure", pressure, fluid.critical_pressure, 16e6, kind="pressure", exclusive=True,
                advice=advice if boils else "",
            )  # fmt: skip
        if self.gas_cooler_outlet_temperature is not None:
            outlet, high = self.gas_cooler_outlet_temperature, fluid.highest_temperature
            checks.within("gas cooler outlet temperature", outlet, low, high, kind="temperature")
            if self.subcooling > 0.0:
                advice = "leave it at 0; gas_cooler_outlet_temperature says how far the gas is cooled"
                told = "has no meaning above the critical pressure"
                checks.add("subcooling", Amount(self.subcooling, "temperature_difference"), told, advice)


def of_cycle(name, default=MISSING):
    """Declare a number as the specification of a cycle does."""
    return asked(asked_of(CycleSpec)[name], default)


def cycle_between(job, name, gas_cooler_pressure=None):
    """Return the cycle of a refrigerant at the temperatures of a job; where it cannot condense it gets a gas cooler
    with the same outlet temperature; gas_cooler_pressure [Pa]."""
    high = {"condensing_temperature": job.condensing_temperature, "subcooling": job.subcooling}
    if job.condensing_temperature > Refrigerant(name).critical_temperature - CLOSEST_TO_CRITICAL:
        high = {
            "gas_cooler_pressure": gas_cooler_pressure,
            "gas_cooler_outlet_temperature": job.condensing_temperature - job.subcooling,
        }
    return CycleSpec(
        refrigerant=name,
        evaporating_temperature=job.evaporating_temperature,
        superheat=job.superheat,
        isentropic_efficiency=job.isentropic_efficiency,
        **high,
    )


class CyclePoint(NamedTuple):
    """One numbered point of a cycle.

    number: 1 to 6 in the direction of flow; place: where it is, in plain words; state: what the refrigerant is there
    """

    number: int
    place: str
    state: StatePoint


@dataclass(frozen=True, kw_only=True)
class CycleResult:
    """A solved cycle, from a specification or from readings; SI, pressures absolute.

    spec: what was asked (a CycleSpec or Readings); points: six CyclePoints in the direction of flow.
    evaporating_pressure and evaporating_temperature (dew): at the evaporator outlet;
    condensing_pressure and condensing_temperature (bubble): at the condenser outlet.
    superheat: at the evaporator outlet; suction_superheat: at the compressor inlet.
    pressure_ratio: compressor outlet over compressor inlet.
    condensing_temperature and subcooling are None above the critical pressure.
    mass_flow, cooling_capacity, compressor_power, heat_rejection: None if the flow is not known.
    energy_closure: energy in minus energy out, as a share of the heat rejected.
    notes: what to keep in mind about this result, in plain words.
    uncertainty: standard name → ± in SI (from instrument accuracies; empty for a specified cycle).
    """

    spec: object
    refrigerant: str
    points: tuple[CyclePoint, ...]
    evaporating_pressure: float
    condensing_pressure: float
    evaporating_temperature: float
    condensing_temperature: float | None
    superheat: float
    suction_superheat: float
    subcooling: float | None
    discharge_temperature: float
    pressure_ratio: float
    refrigerating_effect: float
    compressor_work: float
    heat_rejected: float
    coefficient_of_performance: float
    isentropic_efficiency: float
    mass_flow: float | None = None
    cooling_capacity: float | None = None
    compressor_power: float | None = None
    heat_rejection: float | None = None
    energy_closure: float = 0.0
    notes: tuple = ()
    uncertainty: dict[str, float] = field(default_factory=dict)


HOT_DISCHARGE = 393.15
_INSIDE = (0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875)


def solve_cycle(spec):
    """Return all six points of a cycle and what it does per kilogram, and in kilowatts if the flow is known.

    Parameters
    ----------
    spec : CycleSpec. The cycle that is asked for.

    Returns: CycleResult. Points, pressures [Pa], temperatures [K], heats and work [J/kg], capacities [W], closure and
        notes. Raises OutOfRangeError if arguments are missing or contradict each other; names all of them;
        NoSolutionError if a state leaves the range of the property data, or energy does not balance.

    Notes: One-stage cycle, throttling without heat loss, compressor without heat loss. The internal heat exchanger
        gives the same heat to both sides; its effectiveness is a share of the smaller of the two heats that would bring
        one stream to the other's inlet temperature.

    References: Cengel & Boles, Thermodynamics: An Engineering Approach, chapter 11 (ideal and actual cycle); Klein,
        Reindl & Brownell, Int. J. Refrig. 23 (2000) 588-596 (effectiveness of suction-liquid heat exchangers).

    Examples
    --------
    >>> van = solve_cycle(CycleSpec(refrigerant="R-134a", evaporating_temperature=273.15,
    ...                             condensing_temperature=323.15, superheat=5, isentropic_efficiency=0.7))
    >>> round(van.coefficient_of_performance, 2)
    2.86
    """
    return OpenCycle(spec).closed_by(spec.internal_heat_exchanger_effectiveness)


class OpenCycle:
    """A cycle that is still open between its lines: what an internal heat exchanger does not change is solved once.

    The effectiveness of its specification is not used; pressures [Pa], states as in `CycleResult.points`.
    """

    def __init__(self, spec):
        fluid = Refrigerant(spec.refrigerant)
        self.spec, self.fluid = spec, fluid
        self.is_transcritical = _is_transcritical(spec)
        self.outlet = fluid.dew_pressure(spec.evaporating_temperature)
        self.liquid = (
            spec.gas_cooler_pressure if self.is_transcritical else fluid.bubble_pressure(spec.condensing_temperature)
        )
        self.suction = self.outlet - spec.suction_line_pressure_drop
        self.discharge = self.liquid + spec.condenser_pressure_drop + spec.discharge_line_pressure_drop
        self.before_valve = self.liquid - spec.liquid_line_pressure_drop
        self.after_valve = self.outlet + spec.evaporator_pressure_drop
        self._check_order()
        self.six = self._state(self.outlet, spec.evaporating_temperature, spec.superheat, 1.0)
        if self.is_transcritical:
            self.three = fluid.at(p=self.liquid, T=spec.gas_cooler_outlet_temperature)
        else:
            self.three = self._state(self.liquid, spec.condensing_temperature, -spec.subcooling, 0.0)

    def _state(self, p, saturation, away, quality):
        return self.fluid.at(p=p, x=quality) if abs(away) <= ON_THE_LINE else self.fluid.at(p=p, T=saturation + away)

    def _check_order(self):
        with Checks() as checks:
            if self.suction <= max(self.fluid.lowest_pressure, 0.2 * self.outlet):
                given = Amount(self.outlet - self.suction, "pressure_difference")
                limit = Said("leaves too little of the evaporating pressure {}", Amount(self.outlet, "pressure"))
                advice = "a suction line loses a few per cent: check the number and its unit"
                checks.add("suction line pressure drop", given, limit, advice)
            if self.after_valve >= self.before_valve:
                limit = Said("must be above the evaporator inlet pressure {}", Amount(self.after_valve, "pressure"))
                advice = "lower the pressure drops of liquid line and evaporator, or raise the high side"
                checks.add("valve inlet pressure", Amount(self.before_valve, "pressure"), limit, advice)

    @functools.cached_property
    def most(self):
        """The most heat that the two lines could exchange, both ends counted; → [J/kg]."""
        three, six, fluid = self.three, self.six, self.fluid
        if three.T <= six.T:
            name = "gas cooler outlet temperature" if self.is_transcritical else "condenser outlet temperature"
            advice = "otherwise the internal heat exchanger would run backwards: lower superheat or subcooling"
            told = "must be above the evaporator outlet temperature {}"
            given = Amount(three.T, "temperature")
            raise OutOfRangeError.about(name, given, Said(told, Amount(six.T, "temperature")), advice)
        from_liquid = three.h - fluid.at(p=self.before_valve, T=six.T).h
        most = min(from_liquid, fluid.at(p=self.suction, T=three.T).h - six.h)
        if most <= 0.0:
            advice = "its liquid has cooled by pressure loss below the vapour: lower the liquid line pressure drop"
            raise NoSolutionError.about("internal heat exchanger", "has no heat to pass on", "", advice)
        return most

    @functools.cached_property
    def _room_inside(self):
        """(most heat, temperature) at places inside: above the critical pressure the curves may cross there."""
        if self.three.p < self.fluid.critical_pressure:
            return ()
        three, six, at = self.three, self.six, self.fluid.at
        # Asked at temperatures, not at heats: a state from pressure and enthalpy costs ten times as much here.
        places = [six.T + share * (three.T - six.T) for share in _INSIDE]
        return tuple((at(p=self.suction, T=T).h - six.h + three.h - at(p=self.before_valve, T=T).h, T) for T in places)

    def heat(self, effectiveness):
        """Return the heat that passes from liquid to vapour; effectiveness [-] → [J/kg]."""
        if effectiveness == 0.0:
            return 0.0
        heat = effectiveness * self.most
        for most, T in self._room_inside:
            if heat > most * (1 + 1e-9):
                told = "inside it, near {}, gas and vapour would have to trade places: only {} % of that heat can pass"
                given = "asks for more heat than can flow"
                limit = Said(told, Amount(T, "temperature"), f"{most / heat * 100:.0f}")
                advice = "lower the effectiveness"
                raise NoSolutionError.about("internal heat exchanger effectiveness", given, limit, advice)
        return heat

    def compressed(self, heat):
        """Return the states before and behind the compressor; heat taken in the exchanger [J/kg]."""
        spec, six, fluid = self.spec, self.six, self.fluid
        plain = self.suction == self.outlet and heat == 0.0
        inlet = six if plain else fluid.at(p=self.suction, h=six.h + heat)
        # A rise too small to leave the saturation line is none.
        if spec.suction_line_temperature_rise > ON_THE_LINE:
            inlet = fluid.at(p=self.suction, T=inlet.T + spec.suction_line_temperature_rise)
        try:
            ideal = fluid.at(p=self.discharge, s=inlet.s)
            if spec.isentropic_efficiency == 1.0:
                return inlet, ideal
            return inlet, fluid.at(p=self.discharge, h=inlet.h + (ideal.h - inlet.h) / spec.isentropic_efficiency)
        except OutOfRangeError as reason:
            given = Said("at {}, from vapour at {}", Amount(self.discharge, "pressure"), Amount(inlet.T, "temperature"))
            ends = Amount(fluid.highest_temperature, "temperature"), Amount(fluid.highest_pressure, "pressure")
            limit = Said("leaves the property data of {}, which end at {} and {}", fluid.name, *ends)
            advice = (
                "lower superheat, pressure ratio or heat exchanger effectiveness, or raise the isentropic efficiency"
            )
            raise NoSolutionError.about("compressor discharge", given, limit, advice) from reason

    def closed_by(self, effectiveness):
        """Return the solved cycle with an internal heat exchanger; effectiveness [-]."""
        spec, fluid, three, six = self.spec, self.fluid, self.three, self.six
        heat = self.heat(effectiveness)
        unchanged = heat == 0.0 and self.before_valve == self.liquid
        four = three if unchanged else fluid.at(p=self.before_valve, h=three.h - heat)
        one, two = self.compressed(heat)
        five = fluid.at(p=self.after_valve, h=four.h)
        if six.h <= five.h:
            limit = Said(
                "is not positive: leaving the high side at {} the refrigerant brings more heat than the "
                "evaporator outlet carries away",
                Amount(three.T, "temperature"),
            )
            advice = "cool the high-side outlet further or raise the high-side pressure"
            given = Amount(six.h - five.h, "specific_enthalpy")
            raise NoSolutionError.about("refrigerating effect", given, limit, advice)
        dew = spec.evaporating_temperature if self.suction == self.outlet else fluid.dew_temperature(self.suction)
        return cycle_through(
            spec,
            (one, two, three, four, five, six),
            heat,
            evaporating_pressure=self.outlet,
            condensing_pressure=self.liquid,
            pressure_ratio=self.discharge / self.suction,
            evaporating_temperature=spec.evaporating_temperature,
            condensing_temperature=None if self.is_transcritical else spec.condensing_temperature,
            superheat=spec.superheat,
            suction_superheat=one.T - dew,
            subcooling=None if self.is_transcritical else spec.subcooling,
            discharge_temperature=two.T,
            isentropic_efficiency=spec.isentropic_efficiency,
            notes=tuple(_notes(fluid, (one, two, three, four), self.is_transcritical)),
        )


def cycle_through(spec, states, heat=0.0, *, condensing_temperature, **told):
    """Return the cycle through six states, with all that follows from them alone.

    spec: what was asked; heat: that of an internal heat exchanger [J/kg]; condensing_temperature: None above the
    critical pressure [K]; told: the other fields of a `CycleResult`, in SI
    """
    one, two, three, _four, five, six = states
    effect, work, rejected, flow = six.h - five.h, two.h - one.h, two.h - three.h, spec.mass_flow
    # Suction line warming comes from outside; the exchanger's heat is counted on its vapour side only,
    # so that heat missing on its liquid side shows up here.
    line_heat = one.h - six.h - heat
    places = PLACES if condensing_temperature is not None else (*PLACES[:2], "gas cooler outlet", *PLACES[3:])
    return CycleResult(
        spec=spec,
        refrigerant=canonical_name(spec.refrigerant),
        points=tuple(map(CyclePoint, range(1, 7), places, states)),
        condensing_temperature=condensing_temperature,
        refrigerating_effect=effect,
        compressor_work=work,
        heat_rejected=rejected,
        coefficient_of_performance=effect / work,
        mass_flow=flow,
        cooling_capacity=None if flow is None else flow * effect,
        compressor_power=None if flow is None else flow * work,
        heat_rejection=None if flow is None else flow * rejected,
        energy_closure=closed(cycle_energy=abs(effect + work + line_heat - rejected) / max(abs(rejected), 1.0)),
        **told,
    )


def _is_transcritical(spec):
    """Say whether the high side is a gas cooler; it must be given once, whole, and warmer than the low side."""
    condensing = spec.condensing_temperature
    pressure, outlet = spec.gas_cooler_pressure, spec.gas_cooler_outlet_temperature
    transcritical = pressure is not None or outlet is not None
    with Checks() as checks:
        if not transcritical and condensing is None:
            advice = "give condensing_temperature, or for R-744 gas_cooler_pressure and gas_cooler_outlet_temperature"
            checks.add("condensing temperature", "is missing", "", advice)
        if transcritical and condensing is not None:
            advice = "give either condensing_temperature or the two gas cooler values, not both"
            checks.add("high side", "is given twice", "", advice)
        if transcritical and (pressure is None or outlet is None):
            advice = "give both gas_cooler_pressure and gas_cooler_outlet_temperature"
            checks.add("gas cooler", "is half given", "", advice)
    warm, name = (outlet, "gas cooler outlet temperature") if transcritical else (condensing, "condensing temperature")
    if warm <= spec.evaporating_temperature:
        limit = Said(
            "must be above the evaporating temperature {}", Amount(spec.evaporating_temperature, "temperature")
        )
        advice = "the high side is the warm side: were the two swapped?"
        raise OutOfRangeError.about(name, Amount(warm, "temperature"), limit, advice)
    return transcritical


def _notes(fluid, states, transcritical):
    one, two, three, four = states
    if two.x is not None and two.x < 1 - 1e-6:
        yield "The vapour partly condenses while it is compressed: liquid can damage a compressor."
    if two.T > HOT_DISCHARGE:
        yield Said(
            "Discharge at {} is above {}, where oil and seals begin to suffer (common practice, no source; the "
            "maker's limit decides).",
            Amount(two.T, "temperature"), Amount(HOT_DISCHARGE, "temperature"),
        )  # fmt: skip
    if four.x is not None and four.x > 1e-6:
        yield "Vapour forms in the liquid line before the valve: it lost more pressure than subcooling covers."
    if one.p < STANDARD_ATMOSPHERE:
        yield "The suction side is below the air pressure at sea level: a leak would draw in air."
    if transcritical and fluid.name != "R-744":
        yield f"Only R-744 systems are built to run above the critical pressure; {fluid.name} systems are not."
    if abs(three.p / fluid.critical_pressure - 1) < 0.08 and abs(three.T / fluid.critical_temperature - 1) < 0.015:
        yield "The high-side outlet is close to the critical point: small errors there change the capacity a lot."
