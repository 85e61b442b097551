"""What an evaporator coil is, what it is asked to do, and what comes out."""

from dataclasses import dataclass

from thermo_kit.units import STANDARD_ATMOSPHERE
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, kw_only=True)
class EvaporatorSpec:
    """A coil, told by how well heat passes on its air side and on its refrigerant side.

    Parameters
    ----------
    air_conductance : float, [W/K]
        Film and fins together, dry and clean, at the reference air flow; 20 to 3000.
    reference_air_flow : float, [kg/s]
        Dry air at which it holds, 0.02 to 2.
    air_exponent : float, [-]
        How the air-side conductance grows with the air flow, 0.2 to 0.9.
    boiling_conductance : float, [W/K]
        Boiling film and wall over the whole coil, 50 to 10000.
    vapour_share : float, [-]
        Conductance of superheated vapour compared with boiling, 0.02 to 1.
    blocked_share : float, [-]
        Part of the face that dirt or leaves have closed, 0 to 0.9.
    coil_resistance_share : float, [-]
        Part of the blower's pressure that the clean coil takes; ducts and vents take the rest; 0.05 to 1.

    Notes
    -----
    Conductances are data of the coil. Those of this workbook are invented; the exponent of louvered fins lies
    between 0.4 and 0.7 in the published correlations.

    References
    ----------
    ASHRAE Handbook - HVAC Systems and Equipment, air-cooling and dehumidifying coils.
    """

    air_conductance: float
    reference_air_flow: float
    boiling_conductance: float
    air_exponent: float = 0.55
    vapour_share: float = 0.15
    blocked_share: float = 0.0
    coil_resistance_share: float = 0.5

    def __post_init__(self):
        checks = Checks()
        area = "a coil without surface passes no heat: give what it passes in W/K"
        percent = "a share runs from 0 to 1: 15 % is 0.15"
        checks.within("air-side conductance", self.air_conductance, 20.0, 3000.0, kind="ratio", advice=area)
        checks.within("reference air flow", self.reference_air_flow, 0.02, 2.0, kind="mass_flow")
        checks.within("exponent of the air side", self.air_exponent, 0.2, 0.9, kind="ratio")
        checks.within("boiling conductance", self.boiling_conductance, 50.0, 10000.0, kind="ratio", advice=area)
        checks.within("vapour share of the conductance", self.vapour_share, 0.02, 1.0, kind="ratio", advice=percent)
        advice = "a share runs from 0 to 1: 30 % is 0.3; a coil that is closed altogether moves no air"
        checks.within("blocked share of the face", self.blocked_share, 0.0, 0.9, kind="ratio", advice=advice)
        checks.within(
            "coil's share of the resistance", self.coil_resistance_share, 0.05, 1.0, kind="ratio", advice=percent
        )
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class EvaporatorConditions:
    """Air in front of the coil, and refrigerant at its valve and at its outlet.

    Parameters
    ----------
    air_temperature : float, [K]
        In front of the coil, 0 to 80 °C.
    relative_humidity : float, [-]
        In front of the coil, 0 to 1.
    air_flow : float, [m³/s]
        What the blower moves through a clean coil, measured at the inlet, 0.01 to 2.
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    evaporating_temperature : float, [K]
        Dew temperature at the evaporator's pressure, held whatever the load, -25 to 25 °C.
    superheat : float, [K]
        At the evaporator outlet, 0 to 40.
    valve_pressure : float, [Pa]
        Absolute, in front of the expansion valve, 0.1 to 160 bar.
    liquid_temperature : float, [K]
        In front of the expansion valve, -40 to 150 °C.
    air_pressure : float, [Pa]
        Of the surrounding air, 60 to 110 kPa.
    """

    air_temperature: float
    relative_humidity: float
    air_flow: float
    refrigerant: str
    evaporating_temperature: float
    valve_pressure: float
    liquid_temperature: float
    superheat: float = 5.0
    air_pressure: float = STANDARD_ATMOSPHERE

    def __post_init__(self):
        checks = Checks()
        checks.within("air in front of the coil", self.air_temperature, 273.15, 353.15, kind="temperature")
        percent = "relative humidity is a share from 0 to 1: 50 % is 0.5"
        checks.within("relative humidity", self.relative_humidity, 0.0, 1.0, kind="ratio", advice=percent)
        still = "the blower must turn: without air the coil freezes up and no steady state exists"
        hourly = "the flow is in m³/s here: 396 m³/h is 0.11"
        checks.within(
            "air flow", self.air_flow, 0.01, 2.0, kind="ratio", advice=still if self.air_flow == 0 else hourly
        )
        checks.within("evaporating temperature", self.evaporating_temperature, 248.15, 298.15, kind="temperature")
        step = "superheat is a difference, line temperature less evaporating temperature: below 0 the two were swapped"
        checks.within("superheat", self.superheat, 0.0, 40.0, kind="temperature_difference", advice=step)
        checks.within("pressure in front of the valve", self.valve_pressure, 1e4, 1.6e7, kind="pressure")
        checks.within("liquid in front of the valve", self.liquid_temperature, 233.15, 423.15, kind="temperature")
        checks.within("air pressure", self.air_pressure, 6e4, 1.1e5, kind="pressure")
        checks.raise_if_any()


@dataclass(frozen=True, kw_only=True)
class CoilAir:
    """Air at one place, by ideal-gas relations.

    T: temperature [K]; humidity_ratio: water per dry air [kg/kg]; relative_humidity: 0 to 1;
    dew_point [K]; h: enthalpy per dry air [J/kg]
    """

    T: float
    humidity_ratio: float
    relative_humidity: float
    dew_point: float
    h: float


@dataclass(frozen=True, kw_only=True)
class EvaporatorResult:
    """A solved evaporator, SI.

    spec, conditions: what was asked; inlet: air in front; vent: air behind, well mixed;
    wet_side: air behind the boiling part; dry_side: air behind the superheated part, None without superheat;
    superheated_share: part of the coil in which vapour is only warmed; mass_flow: refrigerant [kg/s];
    cooling_capacity: heat taken by the refrigerant [W]; sensible: part of it that cools the air [W];
    latent: the rest, which condenses water [W]; condensate: water that drips off [kg/s];
    drained_heat: heat that this water carries off, zero at 0 °C [W];
    dry_air_flow [kg/s]; air_flow: through the coil as it is [m³/s];
    coldest_surface: of the boiling part [K]; mean_surface: of the boiling part [K];
    bypass_share: part of the air that behaves as if it had not touched the coil;
    frost: whether the coldest surface lies below 0 °C and below the dew point of the air;
    depth: places through the boiling part, 0 to 1 [-]; air_path, humidity_path: air at these places [K], [kg/kg];
    surface_path: surface between these places [K]; evaporating_pressure [Pa];
    valve_enthalpy, vapour_enthalpy, outlet_enthalpy: of the refrigerant [J/kg];
    energy_closure: refrigerant, air less drained water, and film, the widest gap between them as a share;
    water_closure: loss of humidity against the water told by the film's heat, as a share of the condensate;
    notes: what to keep in mind, in plain words
    """

    spec: EvaporatorSpec
    conditions: EvaporatorConditions
    inlet: CoilAir
    vent: CoilAir
    wet_side: CoilAir
    dry_side: CoilAir | None
    superheated_share: float
    mass_flow: float
    cooling_capacity: float
    sensible: float
    latent: float
    condensate: float
    drained_heat: float
    dry_air_flow: float
    air_flow: float
    coldest_surface: float
    mean_surface: float
    bypass_share: float
    frost: bool
    depth: tuple[float, ...]
    air_path: tuple[float, ...]
    humidity_path: tuple[float, ...]
    surface_path: tuple[float, ...]
    evaporating_pressure: float
    valve_enthalpy: float
    vapour_enthalpy: float
    outlet_enthalpy: float
    energy_closure: float
    water_closure: float
    notes: tuple[str, ...] = ()
