"""What an evaporator coil is, what it is asked to do, what comes out, and what its picture needs beside that."""

import functools
from dataclasses import dataclass

from thermo_kit.substances import REFRIGERANT_NAMES, Stream, canonical_name
from thermo_kit.substances.moist_air import (
    ZERO,
    AirState,
    air_temperature,
    dew_point,
    humidity_at,
    moist_enthalpy,
    saturated_humidity,
)
from thermo_kit.units import STANDARD_ATMOSPHERE, Spec, one_of, quantity

_SURFACE = "a coil without surface passes no heat: give what it passes in W/K"
_SHARE = "a share runs from 0 to 1: 15 % is 0.15"


class EvaporatorSpec(Spec):
    """A coil, told by how well heat passes on its air side and on its refrigerant side.

    The air-side conductance is that of film and fins together, dry and clean, at the reference flow of dry air; the
    boiling conductance is film and wall over the whole coil, the vapour share what is left of it where vapour is only
    warmed. Of the blower's pressure the clean coil takes its share of the resistance, ducts and vents the rest.

    Notes: Conductances are data of the coil. Those of this workbook are invented; the exponent of louvered fins lies
        between 0.4 and 0.7 in the published correlations.

    References: ASHRAE Handbook - HVAC Systems and Equipment, air-cooling and dehumidifying coils.
    """

    air_conductance: float = quantity("conductance", 20.0, 3000.0, "air-side conductance", advice=_SURFACE)
    reference_air_flow: float = quantity("mass_flow", 0.02, 2.0, "reference air flow")
    boiling_conductance: float = quantity("conductance", 50.0, 10000.0, "boiling conductance", advice=_SURFACE)
    air_exponent: float = quantity("ratio", 0.2, 0.9, "exponent of the air side", 0.55)
    vapour_share: float = quantity("ratio", 0.02, 1.0, "vapour share of the conductance", 0.15, advice=_SHARE)
    blocked_share: float = quantity(
        "ratio", 0.0, 0.9, "blocked share of the face", 0.0,
        advice="a share runs from 0 to 1: 30 % is 0.3; a coil that is closed altogether moves no air",
    )  # fmt: skip
    coil_resistance_share: float = quantity("ratio", 0.05, 1.0, "coil's share of the resistance", 0.5, advice=_SHARE)


class EnteringAir(Spec):
    """Air in front of a coil; the flow is what the blower moves through a clean coil, measured at the inlet.

    Notes: Data.
    """

    air_temperature: float = quantity("temperature", 273.15, 353.15, "air in front of the coil")
    relative_humidity: float = quantity(
        "ratio", 0.0, 1.0, "relative humidity", advice="relative humidity is a share from 0 to 1: 50 % is 0.5"
    )
    air_flow: float = quantity(
        "air_flow", 0.01, 2.0, "air flow",
        advice="the flow is in m³/s here: 396 m³/h is 0.11; the blower must turn, without air the coil freezes up",
    )  # fmt: skip
    air_pressure: float = quantity("pressure", 6e4, 1.1e5, "air pressure", STANDARD_ATMOSPHERE)


class EvaporatorConditions(EnteringAir):
    """Air in front of the coil, and refrigerant at its valve and at its outlet, held whatever the load.

    The evaporating temperature is the dew temperature at the evaporator's pressure.

    Notes: Data.
    """

    refrigerant: str = one_of(REFRIGERANT_NAMES, "refrigerant", known=canonical_name)
    evaporating_temperature: float = quantity("temperature", 248.15, 298.15, "evaporating temperature")
    valve_pressure: float = quantity("pressure", 1e4, 1.6e7, "pressure in front of the valve")
    liquid_temperature: float = quantity("temperature", 233.15, 423.15, "liquid in front of the valve")
    superheat: float = quantity(
        "temperature_difference", 0.0, 40.0, "superheat", 5.0,
        advice="superheat is a difference, line temperature less evaporating temperature: below 0 the two were swapped",
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class EvaporatorResult:
    """A solved evaporator, SI.

    spec, conditions: what was asked; inlet: air in front; vent: air behind, well mixed;
    wet_side: air behind the boiling part; dry_side: air behind the superheated part, None without one;
    superheated_share: part of the coil in which vapour is only warmed; feed, outlet: refrigerant in and out;
    evaporating_temperature [K]; superheat: at the outlet, None where liquid leaves [K];
    cooling_capacity: heat taken by the refrigerant [W]; sensible: part of it that cools the air [W];
    latent: the rest, which condenses water [W]; condensate: water that drips off [kg/s];
    drained_heat: heat that this water carries off, zero at 0 °C [W];
    dry_air_flow [kg/s]; air_flow: through the coil as it is [m³/s];
    coldest_surface: of the boiling part [K]; mean_surface: of the boiling part [K];
    frost: whether the coldest surface lies below 0 °C and below the dew point of the air;
    depth: places through the boiling part, 0 to 1 [-]; vapour_path, humidity_path: air at these places, if all its
    water stayed vapour [K], [kg/kg];
    surface_path: surface between these places [K]; vapour_enthalpy: of dry saturated refrigerant [J/kg];
    energy_closure: refrigerant, air less drained water, and film, the widest gap between them as a share;
    water_closure: loss of humidity against the water told by the film's heat, as a share of the condensate;
    notes: what to keep in mind, in plain words
    """

    spec: EvaporatorSpec
    conditions: EnteringAir
    inlet: AirState
    vent: AirState
    wet_side: AirState
    dry_side: AirState | None
    superheated_share: float
    feed: Stream
    outlet: Stream
    evaporating_temperature: float
    superheat: float | None
    cooling_capacity: float
    sensible: float
    latent: float
    condensate: float
    drained_heat: float
    dry_air_flow: float
    air_flow: float
    coldest_surface: float
    mean_surface: float
    frost: bool
    depth: tuple[float, ...]
    vapour_path: tuple[float, ...]
    humidity_path: tuple[float, ...]
    surface_path: tuple[float, ...]
    vapour_enthalpy: float
    energy_closure: float
    water_closure: float
    notes: tuple[str, ...] = ()

    @functools.cached_property
    def air_path(self):
        """Air at the places of `depth`, fog in balance with it [K]."""
        p = self.conditions.air_pressure
        places = zip(self.vapour_path, self.humidity_path, strict=True)
        return tuple(air_temperature(moist_enthalpy(T, w), w, p) for T, w in places)

    @property
    def mass_flow(self):
        """Refrigerant [kg/s]."""
        return self.outlet.mass_flow

    @property
    def evaporating_pressure(self):
        """Pressure in the coil [Pa]."""
        return self.outlet.pressure


CURVES = (0.2, 0.4, 0.6, 0.8, 1.0)
_LOWEST, _HIGHEST = -60, 65


@dataclass(frozen=True, kw_only=True)
class AirProcess:
    """The way of the air through a coil, read from its result, SI.

    result: the solved coil; dew_points: of the air at the places `result.depth` [K];
    surface_humidity: of saturated air at each surface temperature [kg/kg];
    wet_from: place in the depth of the boiling part at which water begins to condense, 1 if it stays dry [-];
    superheated_is_wet: whether water condenses on the superheated part too;
    frost_margin: coldest surface above 0 °C, or above the dew point where that is lower [K]
    """

    result: EvaporatorResult
    dew_points: tuple[float, ...]
    surface_humidity: tuple[float, ...]
    wet_from: float
    superheated_is_wet: bool
    frost_margin: float


def air_process(result: EvaporatorResult):
    """Return the way of the air through a solved coil.

    Parameters
    ----------
    result : EvaporatorResult. What `solve_evaporator` returned.

    Returns: AirProcess. Dew points, wet and dry places, frost margin.

    Notes: By definition: a fin is wet where it is colder than the dew point of the air that reaches it.
    """
    p = result.conditions.air_pressure
    saturated = tuple(saturated_humidity(T, p) for T in result.surface_path)
    inlet, dry = result.inlet, result.dry_side
    return AirProcess(
        result=result,
        # Of foggy air the vapour alone counts: it is saturated.
        dew_points=tuple(min(dew_point(w, p), T) for w, T in zip(result.humidity_path, result.air_path, strict=True)),
        surface_humidity=saturated,
        wet_from=_wet_from(result.humidity_path, saturated),
        superheated_is_wet=dry is not None and dry.humidity_ratio < inlet.humidity_ratio * (1.0 - 1e-6),
        frost_margin=result.coldest_surface - min(ZERO, inlet.dew_point),
    )


def _wet_from(path, saturated):
    """Place at which the surface falls below the dew point: a straight line between the middles of two steps."""
    steps = len(saturated)
    above = [w - limit for w, limit in zip(path, saturated, strict=False)]
    first = next((i for i, excess in enumerate(above) if excess > 0.0), None)
    if first is None:
        return 1.0
    if first == 0:
        return 0.0
    share = above[first - 1] / (above[first - 1] - above[first])
    return (first - 0.5 + share) / steps


@dataclass(frozen=True, kw_only=True)
class MoistAirLines:
    """Lines of a moist-air chart, SI.

    temperatures: places of all curves [K]; curves: for each relative humidity of `CURVES` the humidity ratio [kg/kg]
    """

    temperatures: tuple[float, ...]
    curves: tuple[tuple[float, ...], ...]


@functools.lru_cache(maxsize=16)
def moist_air_lines(air_pressure):
    """Return curves of equal relative humidity.

    Parameters
    ----------
    air_pressure : float, [Pa]. 60 to 110 kPa.

    Returns: MoistAirLines. From -60 to 65 °C, one point for each kelvin; the last curve is saturation.

    References: ASHRAE Handbook - Fundamentals (2017), chapter 1, equations 20 and 22.
    """
    temperatures = tuple(ZERO + t for t in range(_LOWEST, _HIGHEST + 1))
    curves = tuple(tuple(humidity_at(T, share, air_pressure) for T in temperatures) for share in CURVES)
    return MoistAirLines(temperatures=temperatures, curves=curves)
