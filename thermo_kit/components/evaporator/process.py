"""What a picture of a solved coil needs beside the result: dew points, where the fins turn wet, the frost margin."""

import functools
from dataclasses import dataclass

from thermo_kit.components.evaporator.spec import EvaporatorResult
from thermo_kit.substances.moist_air import ZERO, dew_point, humidity_at, saturated_humidity

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
