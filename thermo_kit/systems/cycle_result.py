"""What is asked of a refrigerant cycle and what comes back."""

from dataclasses import dataclass, field
from typing import NamedTuple

from thermo_kit.substances import StatePoint

PLACES = (
    "compressor inlet",
    "compressor outlet",
    "condenser outlet",
    "valve inlet",
    "evaporator inlet",
    "evaporator outlet",
)
"""The six numbered points in the direction of flow; above the critical pressure number 3 is "gas cooler outlet"."""


@dataclass(frozen=True, kw_only=True)
class CycleSpec:
    """A refrigerant cycle as one would write it on the board.

    Give `condensing_temperature` (and `subcooling`) for a condenser, or `gas_cooler_pressure` and
    `gas_cooler_outlet_temperature` for R-744 above its critical pressure. Unused fields stay as they are.

    Parameters
    ----------
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    evaporating_temperature : float, [K]
        Dew temperature at the evaporator outlet.
    condensing_temperature : float, [K]
        Bubble temperature at the condenser outlet.
    subcooling : float, [K]
        How much colder than bubble the liquid leaves the condenser, 0 to 60.
    gas_cooler_pressure : float, [Pa]
        Absolute pressure at the gas cooler outlet, above the critical one, up to 16 MPa.
    gas_cooler_outlet_temperature : float, [K]
        Temperature at the gas cooler outlet.
    superheat : float, [K]
        How much warmer than dew the vapour leaves the evaporator, 0 to 60.
    suction_line_temperature_rise : float, [K]
        Warming of the vapour between evaporator (or internal heat exchanger) and compressor, 0 to 60.
    isentropic_efficiency : float, [-]
        Loss-free work divided by real work, 0.05 to 1.
    evaporator_pressure_drop : float, [Pa]
        Lost between evaporator inlet and outlet, 0 to 500 kPa.
    suction_line_pressure_drop : float, [Pa]
        Lost between evaporator outlet and compressor inlet, 0 to 500 kPa.
    discharge_line_pressure_drop : float, [Pa]
        Lost between compressor outlet and condenser inlet, 0 to 500 kPa.
    condenser_pressure_drop : float, [Pa]
        Lost between condenser inlet and outlet, 0 to 500 kPa.
    liquid_line_pressure_drop : float, [Pa]
        Lost between condenser outlet and valve inlet, 0 to 500 kPa.
    internal_heat_exchanger_effectiveness : float, [-]
        Heat exchanged between liquid and suction line, as a share of the most that is possible, 0 to 1.
    mass_flow : float, [kg/s]
        Refrigerant flow; without it everything is per kilogram.
    """

    refrigerant: str
    evaporating_temperature: float
    condensing_temperature: float | None = None
    subcooling: float = 0.0
    gas_cooler_pressure: float | None = None
    gas_cooler_outlet_temperature: float | None = None
    superheat: float = 0.0
    suction_line_temperature_rise: float = 0.0
    isentropic_efficiency: float = 1.0
    evaporator_pressure_drop: float = 0.0
    suction_line_pressure_drop: float = 0.0
    discharge_line_pressure_drop: float = 0.0
    condenser_pressure_drop: float = 0.0
    liquid_line_pressure_drop: float = 0.0
    internal_heat_exchanger_effectiveness: float = 0.0
    mass_flow: float | None = None


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
    notes: tuple[str, ...] = ()
    uncertainty: dict[str, float] = field(default_factory=dict)
