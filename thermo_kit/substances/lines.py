"""The lines of a pressure-enthalpy diagram: dome, quality, temperature, entropy and density lines."""

import contextlib
import functools
import itertools
from dataclasses import dataclass

import numpy as np

from thermo_kit.errors import OutOfRangeError
from thermo_kit.substances.refrigerant import Refrigerant
from thermo_kit.units import UnitSystem, from_display

COLDEST_SATURATION = 233.15
DENSE = 60


@dataclass(frozen=True, eq=False)
class Line:
    """One line of the diagram.

    kind: a key of `thermo_kit.units.KINDS`, or "dome"; value: what is the same all along it, SI;
    h [J/kg], p [Pa]: arrays that cannot be written to;
    anchors: places along the line (index into the arrays) where its label reads best, best first
    """

    kind: str
    value: float
    h: np.ndarray
    p: np.ndarray
    anchors: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class PropertyLines:
    """All lines of one refrigerant at round values of one unit system, with the window that shows them.

    lowest and highest pressure [Pa] and enthalpy [J/kg]: the window;
    critical pressure [Pa], temperature [K] and enthalpy [J/kg]: where liquid and vapour become one;
    bubble, dew: the two sides of the dome, from cold to critical; dome: both in one
    """

    refrigerant: str
    lowest_pressure: float
    highest_pressure: float
    lowest_enthalpy: float
    highest_enthalpy: float
    critical_pressure: float
    critical_temperature: float
    critical_enthalpy: float
    bubble: Line
    dew: Line
    dome: Line
    saturation_temperature: np.ndarray
    qualities: tuple[Line, ...]
    isotherms: tuple[Line, ...]
    isentropes: tuple[Line, ...]
    isochores: tuple[Line, ...]


@dataclass(frozen=True)
class SaturationCurve:
    """Pressure over temperature along the boiling line of one refrigerant: T [K], p [Pa], up to the critical point."""

    refrigerant: str
    T: tuple[float, ...]
    p: tuple[float, ...]


_STEPS = {
    UnitSystem.SI: {"temperature": 20.0, "specific_entropy": 0.1},
    UnitSystem.US: {"temperature": 40.0, "specific_entropy": 0.02},
}
_MOST_LINES = 10
_DECADE = (1.0, 2.0, 5.0)


@functools.cache
def property_lines(name, system=UnitSystem.SI):
    """Return every line of a refrigerant's pressure-enthalpy diagram, computed once.

    Notes: From a little below the saturation pressure at −40 °C up to 1.6 times the critical pressure (R-744: 2.2
        times); lines end where the equation of state ends.

    References: Equations of state named at `Refrigerant`.

    Examples
    --------
    >>> lines = property_lines("R-134a")
    >>> round(lines.critical_temperature - 273.15, 1)
    101.1
    """
    refrigerant = Refrigerant(name)
    p_low = 0.85 * refrigerant.dew_pressure(COLDEST_SATURATION)
    p_high = (2.2 if refrigerant.name == "R-744" else 1.6) * refrigerant.critical_pressure
    coldest, hottest = refrigerant.dew_temperature(p_low), refrigerant.critical_temperature - 2e-3
    T = hottest - (hottest - coldest) * np.linspace(1.0, 0.0, 2 * DENSE) ** 2
    liquid, vapour = ([refrigerant.at(T=value, x=x) for value in T] for x in (0.0, 1.0))
    p = np.array([state.p for state in liquid] + [refrigerant.critical_pressure])
    h_liquid = np.array([state.h for state in liquid])
    h_vapour = np.array([state.h for state in vapour])
    h_critical = (h_liquid[-1] + h_vapour[-1]) / 2
    h_liquid, h_vapour = np.append(h_liquid, h_critical), np.append(h_vapour, h_critical)
    hottest = min(refrigerant.highest_temperature - 2.0, refrigerant.critical_temperature + 60.0)
    h_high = refrigerant.at(p=p_low, T=hottest).h
    span = h_high - h_liquid[0]
    return PropertyLines(
        refrigerant=refrigerant.name,
        lowest_pressure=p_low,
        highest_pressure=p_high,
        lowest_enthalpy=h_liquid[0] - 0.06 * span,
        highest_enthalpy=h_high,
        critical_pressure=refrigerant.critical_pressure,
        critical_temperature=refrigerant.critical_temperature,
        critical_enthalpy=h_critical,
        bubble=_line("dome", 0.0, h_liquid, p),
        dew=_line("dome", 1.0, h_vapour, p),
        dome=_line("dome", 0.5, np.append(h_liquid, h_vapour[-2::-1]), np.append(p, p[-2::-1])),
        saturation_temperature=_fixed(np.append(T, refrigerant.critical_temperature)),
        qualities=tuple(_line("ratio", i / 10, (1 - i / 10) * h_liquid + i / 10 * h_vapour, p) for i in range(1, 10)),
        isotherms=tuple(_isotherms(refrigerant, system, p_low, p_high)),
        isentropes=tuple(_isentropes(refrigerant, system, p_low, p_high, vapour, h_high)),
        isochores=tuple(_isochores(refrigerant, system, p_low, p_high, vapour, T)),
    )


def _round_values(kind, system, low, high):
    """Return stored values, round in display units, from low to high."""
    zero, one = from_display(0.0, kind, system), from_display(_STEPS[system][kind], kind, system)
    width = one - zero
    if kind == "specific_entropy" and (high - low) / width > _MOST_LINES:
        width *= 2
    first, last = int(np.ceil((low - zero) / width - 1e-9)), int(np.floor((high - zero) / width + 1e-9))
    return [zero + width * k for k in range(first, last + 1)]


def _isotherms(refrigerant, system, p_low, p_high):
    for T in _round_values("temperature", system, COLDEST_SATURATION, refrigerant.highest_temperature):
        if abs(T - refrigerant.critical_temperature) < 0.1:
            continue
        if refrigerant.critical_temperature < T:
            low, high = refrigerant.at(p=p_low, T=T).rho, refrigerant.at(p=p_high, T=T).rho
            states = [refrigerant.at(T=T, rho=rho) for rho in np.geomspace(high, low, 2 * DENSE)]
        else:
            liquid, vapour = refrigerant.at(T=T, x=0.0), refrigerant.at(T=T, x=1.0)
            above = [refrigerant.at(p=p, T=T) for p in np.geomspace(p_high, 1.0001 * liquid.p, 20)]
            lower = np.geomspace(0.9999 * vapour.p, p_low, DENSE) if vapour.p > 1.001 * p_low else ()
            states = [*above, liquid, vapour, *(refrigerant.at(p=p, T=T) for p in lower)]
        yield _through("temperature", T, states, "falling")


def _isentropes(refrigerant, system, p_low, p_high, vapour, h_high):
    s_dew = np.array([state.s for state in vapour])
    lowest = s_dew[-1] + 0.15 * (s_dew[0] - s_dew[-1])
    highest = refrigerant.at(p=p_low, T=refrigerant.highest_temperature - 1.0).s
    for s in _round_values("specific_entropy", system, lowest, highest):
        edges = list(_edge(vapour, s_dew, s))
        found = _existing(refrigerant, "p", np.geomspace(p_low, p_high, DENSE), s=s)
        # A dew line that leans back (R-1234yf) lets one line dip into the dome and leave it again.
        low, high = (min(edges).p, max(edges).p) if len(edges) > 1 else (0.0, 0.0)
        states = sorted((*edges, *(one for one in found if one.phase != "two-phase" or low < one.p < high)))
        if len(states) > 4 and states[0].h < h_high:
            yield _through("specific_entropy", s, states, "rising")


def _isochores(refrigerant, system, p_low, p_high, vapour, T_saturation):
    rho_dew = np.array([state.rho for state in vapour])
    thinnest = refrigerant.at(p=p_low, T=refrigerant.highest_temperature).rho
    hottest = refrigerant.highest_temperature - 0.01
    for shown in (digit * 10.0**exponent for exponent in range(-4, 4) for digit in _DECADE):
        rho = from_display(shown, "density", system)
        if not thinnest < rho < rho_dew[-1] * 0.75:
            continue
        start = refrigerant.at(p=p_low, rho=rho)
        is_wet = start.phase == "two-phase"
        T_first = np.interp(rho, rho_dew, T_saturation) + 0.05 if is_wet else start.T
        hotter = _existing(refrigerant, "T", np.linspace(T_first, hottest, DENSE), rho=rho)
        edge = [next(_edge(vapour, rho_dew, rho))] if is_wet else []
        states = (*edge, *(one for one in hotter if one.phase != "two-phase"))
        kept = [state for state in states if p_low * 0.999 <= state.p <= p_high * 1.02]
        if len(kept) > 4:
            yield _through("density", rho, kept, "rising")


def _existing(refrigerant, name, values, **fixed):
    """Yield the states along a line; where it is hotter or denser than the equation of state reaches, it has none."""
    for value in values:
        with contextlib.suppress(OutOfRangeError):
            yield refrigerant.at(**fixed, **{name: value})


def _edge(vapour, values, wanted):
    """Return the dew states where a property crosses a value; R-1234yf has none, one or two."""
    for (a, here), (b, there) in itertools.pairwise(zip(values, vapour, strict=True)):
        if (a - wanted) * (b - wanted) < 0:
            share = (wanted - a) / (b - a)
            yield here._replace(p=here.p * (there.p / here.p) ** share, h=here.h + share * (there.h - here.h))


def _through(kind, value, states, reads_best):
    return _line(kind, value, [state.h for state in states], [state.p for state in states], reads_best)


def _line(kind, value, h, p, reads_best="middle"):
    h, p = _fixed(h), _fixed(p)
    count = len(h)
    preferred = {"middle": (0.5, 0.35, 0.65, 0.2), "rising": (0.55, 0.75, 0.35, 0.9), "falling": (0.9, 0.75, 0.6, 0.05)}
    anchors = tuple(dict.fromkeys(min(count - 1, int(share * count)) for share in preferred[reads_best]))
    return Line(kind, float(value), h, p, anchors)


def _fixed(values):
    array = np.array(values, dtype=float)
    array.setflags(write=False)
    return array


@functools.cache
def saturation_curve(name):
    """Return the boiling line of a refrigerant as points, computed once.

    References: Equations of state named at `Refrigerant`.

    Examples
    --------
    >>> curve = saturation_curve("R-290")
    >>> round(curve.p[0] / 1e5, 2)
    1.11
    """
    refrigerant = Refrigerant(name)
    T = np.linspace(COLDEST_SATURATION, refrigerant.critical_temperature - 2e-3, 2 * DENSE)
    p = [refrigerant.dew_pressure(value) for value in T]
    T_curve, p_curve = (*T.tolist(), refrigerant.critical_temperature), (*p, refrigerant.critical_pressure)
    return SaturationCurve(refrigerant.name, T_curve, p_curve)
