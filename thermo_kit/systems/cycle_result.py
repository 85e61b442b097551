"""What is asked of a refrigerant cycle and what comes back."""

from dataclasses import MISSING, dataclass, field
from typing import NamedTuple

from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, StatePoint, canonical_name
from thermo_kit.substances.refrigerant import HIGHEST_TEMPERATURE, LOWEST_TEMPERATURE
from thermo_kit.units import Amount, Name, Spec, asked, asked_of, one_of, quantity, several

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
    evaporating_temperature: float = quantity(
        "temperature", LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE, "evaporating temperature"
    )
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
        evaporating, condensing = self.evaporating_temperature, self.condensing_temperature
        if not low <= evaporating <= critical:
            checks.within("evaporating temperature", evaporating, low, critical, kind="temperature")
        if condensing is not None and not low <= condensing <= critical:
            advice = ""
            if fluid.name == "R-744" and critical < condensing < fluid.highest_temperature:
                advice = (
                    "R-744 does not condense above this: give gas_cooler_pressure and gas_cooler_outlet_temperature"
                )
            checks.within("condensing temperature", condensing, low, critical, kind="temperature", advice=advice)
        if self.gas_cooler_pressure is not None:
            self._fit_gas_cooler_pressure(checks, fluid)
        if self.gas_cooler_outlet_temperature is not None:
            outlet, high = self.gas_cooler_outlet_temperature, fluid.highest_temperature
            checks.within("gas cooler outlet temperature", outlet, low, high, kind="temperature")
            if self.subcooling > 0.0:
                checks.add(
                    "subcooling",
                    Amount(self.subcooling, "temperature_difference"),
                    "has no meaning above the critical pressure",
                    "leave it at 0; gas_cooler_outlet_temperature says how far the gas is cooled",
                )

    def _fit_gas_cooler_pressure(self, checks, fluid):
        critical, advice = fluid.critical_pressure, ""
        if critical / 3 < self.gas_cooler_pressure <= critical:
            advice = "below the critical pressure the refrigerant condenses: give condensing_temperature and subcooling"
        checks.within(
            "gas cooler pressure", self.gas_cooler_pressure, critical, 16e6,
            kind="pressure", advice=advice, exclusive=True,
        )  # fmt: skip


def of_cycle(name, default=MISSING):
    """Declare a number as the specification of a cycle does."""
    return asked(asked_of(CycleSpec)[name], default)


def several_refrigerants():
    """Declare refrigerants to be compared."""
    every = REFRIGERANT_NAMES
    return several(Name(every, "refrigerant", canonical_name), 1, len(every), every)


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
