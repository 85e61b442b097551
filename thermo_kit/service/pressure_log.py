"""A nitrogen test that runs in time: what the gauge shows while the shop warms up, and a logger's file judged."""

import math
from dataclasses import dataclass

from thermo_kit.errors import ReadingsError
from thermo_kit.service.leak import TEST_GAS, PassageSpec, PressureTest, judge_pressure_test, passage_flow
from thermo_kit.service.service_log import read_lines
from thermo_kit.substances.blend import gas_density, gas_pressure
from thermo_kit.units import Amount, Said, Spec, quantity, within_ranges

COLUMNS = ("time", "pressure", "temperature")
LOWEST, HIGHEST = 1.5e5, 2e7
COLDEST, HOTTEST = 253.15, 333.15
FASTEST = 0.5 / 60.0
"""No circuit in a shop warms faster than half a kelvin a minute: sun or hand on the sensor (common practice)."""


class PressureWatch(Spec):
    """Nitrogen shut in a circuit that leaks through a fine passage, in a shop that warms up or cools down."""

    volume: float = quantity("volume", 1e-4, 0.2, "volume of the circuit", 2.5e-3)
    start_pressure: float = quantity("pressure", 2e5, 1.6e7, "pressure at the start")
    start_temperature: float = quantity("temperature", COLDEST, HOTTEST, "temperature at the start", 288.15)
    end_temperature: float = quantity("temperature", COLDEST, HOTTEST, "temperature in the end", 288.15)
    settling: float = quantity("duration", 60.0, 1e5, "two thirds of the way to the end temperature after", 3600.0)
    bore: float = quantity("fine_length", 0.0, 1e-3, "bore of the leak", 0.0)
    length: float = quantity("length", 1e-5, 0.1, "length of the leak", 5e-3)


@dataclass(frozen=True, kw_only=True)
class WatchResult:
    """What a gauge shows during a nitrogen test, SI.

    spec: what was asked; times [s]; temperatures [K]; pressures: with the leak [Pa]; tight: of a tight circuit [Pa]
    """

    spec: PressureWatch
    times: tuple
    temperatures: tuple
    pressures: tuple
    tight: tuple


def watch_pressure_test(spec, *, duration, points=49):
    """Follow the gauge of a nitrogen test over time.

    Parameters
    ----------
    spec : PressureWatch. Circuit, start, leak, and how the shop's temperature goes.
    duration : float, [s]. How long it is followed.
    points : int. Moments told.

    Returns: WatchResult. Temperatures [K] and pressures [Pa] over time [s].

    Notes: The circuit has the temperature of the shop at each moment. Forward steps: the pressure falls little in one.

    References: Balance of mass; nitrogen: Span et al., J. Phys. Chem. Ref. Data 29 (2000); leak: as `passage_flow`.

    Examples
    --------
    >>> told = watch_pressure_test(PressureWatch(start_pressure=1.6e6, end_temperature=295.15), duration=7200.0)
    >>> told.pressures[-1] > told.pressures[0]
    True
    """
    within_ranges(("duration of the test", duration, 0.0, 1e7, "time"))
    start = gas_density(TEST_GAS, p=spec.start_pressure, T=spec.start_temperature)
    step, density = duration / (points - 1), start
    tube = PassageSpec(diameter=spec.bore, length=spec.length) if spec.bore > 0.0 else None
    times = tuple(i * step for i in range(points))
    away = spec.start_temperature - spec.end_temperature
    temperatures = tuple(spec.end_temperature + away * math.exp(-t / spec.settling) for t in times)
    pressures = []
    for T in temperatures:
        p = gas_pressure(TEST_GAS, density=density, T=T)
        pressures.append(p)
        if tube and p > 1.05e5:
            lost = passage_flow(tube, TEST_GAS, inside=p, temperature=T) * step / spec.volume
            density = max(density - lost, gas_density(TEST_GAS, p=1.02e5, T=T))
    tight = tuple(gas_pressure(TEST_GAS, density=start, T=T) for T in temperatures)
    return WatchResult(spec=spec, times=times, temperatures=temperatures, pressures=tuple(pressures), tight=tight)


def read_pressure_log(source, *, altitude=None):
    """Read the log of a nitrogen test and say for every line that cannot be used why not.

    Parameters
    ----------
    source : path, str or bytes. A file's path, or its text (with at least one line end), or its bytes.
    altitude : float, [m]. Overrides the file's line "# altitude: ... m"; without both, sea level.

    Returns: ServiceLog. Usable lines in SI, skipped lines with their reasons. Raises ReadingsError if a column is
        missing, doubled, has no unit or an unclear one, fewer than two lines can be used, or fewer than cannot; the
        message names line and fix; FileAccessError if the file cannot be read.

    Notes: Columns: time, pressure, temperature, each with its unit, as `read_log` of `thermo_kit.systems` reads them.

    References: None: reads data, computes nothing.

    Examples
    --------
    >>> lines = "time [min]; pressure [bar(g)]; temperature [°C]", "0; 15,0; 15", "30; 15,2; sun", "60;15,3;19"
    >>> log = read_pressure_log("\\n".join(lines))
    >>> len(log.times), log.skipped[0]
    (2, (3, "temperature 'sun' is not a number"))
    """
    return read_lines(source, COLUMNS, altitude, _judge_line)


def _judge_line(values, last):
    """Refuse what no nitrogen test shows; values and last in SI."""
    p, T = values["pressure"], values["temperature"]
    for name, kind, value, low, high, advice in (
        ("pressure", "pressure", p, LOWEST, HIGHEST, "gauge or absolute? are the columns swapped?"),
        ("temperature", "temperature", T, COLDEST, HOTTEST, "check its unit; are the columns swapped?"),
    ):
        if not low <= value <= high:
            limit = Said("is outside {} to {}", Amount(low, kind), Amount(high, kind))
            raise ReadingsError.about(name, Amount(value, kind), limit, advice)
    if last is None:
        return
    change = abs(T - last["temperature"])
    if change > 1.0 and change > FASTEST * (values["time"] - last["time"]):
        jump = Amount(change, "temperature_difference")
        advice = "is the sensor in the sun, or held in a hand?"
        raise ReadingsError.about("temperature", Said("jumps by {}", jump), "", advice)


def judge_pressure_log(log, *, volume):
    """Judge the log of a nitrogen test by its first and last tenth, temperature taken out.

    Parameters
    ----------
    log : ServiceLog. As `read_pressure_log` gives it.
    volume : float, [m³]. Of the circuit.

    Returns: PressureVerdict. As `judge_pressure_test`.

    References: As `judge_pressure_test`.

    Examples
    --------
    >>> text = "time [min], pressure [bar(g)], temperature [degC]\\n0, 15.0, 15.0\\n120, 15.0, 22.0\\n"
    >>> judge_pressure_log(read_pressure_log(text), volume=2.5e-3).verdict
    'leaks'
    """
    some = max(len(log.times) // 10, 1)

    def ends(values):
        return sum(values[:some]) / some, sum(values[-some:]) / some

    (begun, ended), (p1, p2), (T1, T2) = map(ends, (log.times, log.pressures, log.temperatures))
    test = PressureTest(
        volume=volume, start_pressure=p1, end_pressure=p2, start_temperature=T1, end_temperature=T2,
        duration=ended - begun,
    )  # fmt: skip
    return judge_pressure_test(test)
