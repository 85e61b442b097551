"""From gauge and clamp readings to the running cycle, with the uncertainty that the instruments leave."""

from dataclasses import dataclass, fields, replace

from thermo_kit.errors import ReadingsError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.cycle import CycleResult, cycle_through
from thermo_kit.systems.readings_states import combined, find_problems, likely_causes, points_to_note, states_of

_CERTAIN = ("mass_flow", "energy_closure")
_WITH_UNCERTAINTY = tuple(
    one.name for one in fields(CycleResult) if one.type in (float, float | None) and one.name not in _CERTAIN
)
_LOW_SIDE = (1, 5, 6)


def cycle_from_readings(readings):
    """Return the cycle that a set of gauge and clamp readings describes, with ± for every result.

    Parameters
    ----------
    readings : Readings
        Two pressures and three or four line temperatures of a system that has run steadily for some minutes.

    Returns: CycleResult. As from `solve_cycle`, with `uncertainty` filled [SI unit of each quantity] and notes on what
        the readings leave open. Raises ReadingsError if the readings contradict each other or physics; the message
        names the likely cause; UnknownNameError if the refrigerant is not in the workbook.

    Notes: Pressure losses between the gauge ports and the coils are not seen by the gauges and count as zero, and the
        compressor counts as losing no heat, so the isentropic efficiency is an apparent one. Pressure and temperature
        cannot tell how much vapour a boiling mixture holds: where a reading lies on the wrong side of saturation by
        less than twice its uncertainty, the saturated state is used and a note says so. Accuracies count as half-widths
        of the same coverage (about 95 %) and as independent; they are combined by root sum of squares of the change
        that each one causes. Default accuracies are common practice: gauge class 1.6, that is ±1.6 % of a span of 10
        bar low side and 35 bar high side (100 and 160 bar for R-744), thermocouple class 1. A clamp in poor contact is
        off by more than any of these.

    References: JCGM 100:2008 (GUM), section 5.1 and F.2 (numerical sensitivity); EN 837-1:1996, Table 11 (gauge
        classes); IEC 60584-1 (thermocouple tolerances).

    Examples
    --------
    >>> from thermo_kit.systems import Readings
    >>> van = cycle_from_readings(Readings(
    ...     refrigerant="R-134a", suction_pressure=0.14e6, discharge_pressure=0.8e6, suction_temperature=263.15,
    ...     discharge_temperature=323.15, liquid_temperature=299.15))
    >>> round(van.coefficient_of_performance, 2), round(van.isentropic_efficiency, 2)
    (3.93, 0.94)
    """
    fluid = Refrigerant(readings.refrigerant)
    problems = find_problems(readings, fluid)
    if problems:
        raise ReadingsError(*problems, *likely_causes(readings, fluid))

    def numbers(moved):
        cycle = _computed(moved, fluid)
        return {name: value for name in _WITH_UNCERTAINTY if (value := getattr(cycle, name)) is not None}

    return replace(
        _computed(readings, fluid),
        uncertainty=combined(numbers, readings, fluid),
        notes=tuple(points_to_note(readings, fluid)),
    )


def _computed(readings, fluid):
    """The cycle of these readings, whatever they are; saturation bounds every state."""
    found = states_of(readings, fluid)
    five = fluid.at(p=readings.suction_pressure, h=found.three.h)
    return cycle_through(
        readings,
        (found.one, found.two, found.three, found.three, five, found.six),
        evaporating_pressure=readings.suction_pressure,
        condensing_pressure=readings.discharge_pressure,
        pressure_ratio=readings.discharge_pressure / readings.suction_pressure,
        evaporating_temperature=found.dew,
        condensing_temperature=found.bubble,
        superheat=found.superheat,
        suction_superheat=readings.suction_temperature - found.dew,
        subcooling=None if found.bubble is None else found.bubble - readings.liquid_temperature,
        discharge_temperature=readings.discharge_temperature,
        isentropic_efficiency=found.isentropic_efficiency,
    )


@dataclass(frozen=True, slots=True)
class PointSpread:
    """Range of one numbered point: lowest and highest pressure [Pa] and enthalpy [J/kg]."""

    number: int
    p_low: float
    p_high: float
    h_low: float
    h_high: float


def spread_of_points(result):
    """Return the range in which each point of a cycle from readings lies, given the instruments' ±.

    Pressure and enthalpy: as `cycle_from_readings` combines what each instrument may be off.
    """
    readings = result.spec
    fluid = Refrigerant(readings.refrigerant)

    def enthalpies(moved):
        return {point.number: point.state.h for point in _computed(moved, fluid).points}

    widths, spreads = combined(enthalpies, readings, fluid), []
    for point in result.points:
        p, h, dh = point.state.p, point.state.h, widths[point.number]
        dp = result.uncertainty["evaporating_pressure" if point.number in _LOW_SIDE else "condensing_pressure"]
        # On a logarithmic axis a range that reaches down to zero cannot be drawn: it ends at a tenth.
        spreads.append(PointSpread(point.number, max(p - dp, 0.1 * p), p + dp, h - dh, h + dh))
    return tuple(spreads)
