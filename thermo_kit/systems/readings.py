"""From gauge and clamp readings to the running cycle, with the uncertainty that the instruments leave."""

import dataclasses
import math
from dataclasses import dataclass

from thermo_kit.errors import ReadingsError
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.cycle import numbered
from thermo_kit.systems.cycle_result import CycleResult
from thermo_kit.systems.readings_advice import likely_causes, points_to_note
from thermo_kit.systems.readings_checks import find_problems
from thermo_kit.systems.readings_states import MEASURED, accuracies_of, change_caused, either_side, states_of

_WITH_UNCERTAINTY = (
    "evaporating_pressure",
    "condensing_pressure",
    "evaporating_temperature",
    "condensing_temperature",
    "superheat",
    "suction_superheat",
    "subcooling",
    "discharge_temperature",
    "pressure_ratio",
    "refrigerating_effect",
    "compressor_work",
    "heat_rejected",
    "coefficient_of_performance",
    "isentropic_efficiency",
    "cooling_capacity",
    "compressor_power",
    "heat_rejection",
)


@dataclass(frozen=True, kw_only=True)
class Readings:
    """What gauges and clamps show on a running system, already in SI with absolute pressures.

    Parameters
    ----------
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    suction_pressure : float, [Pa]
        Low-side reading, absolute.
    discharge_pressure : float, [Pa]
        High-side reading, absolute.
    suction_temperature : float, [K]
        Clamp on the suction line at the compressor.
    discharge_temperature : float, [K]
        Clamp on the discharge line at the compressor.
    liquid_temperature : float, [K]
        Clamp on the liquid line; with an internal heat exchanger, between it and the valve.
        On R-744 above its critical pressure: at the gas cooler outlet.
    evaporator_outlet_temperature : float, [K]
        Clamp on the evaporator outlet; without it the suction clamp is used in its place.
    altitude : float, [m]
        Height of the workshop, needed to speak of gauge readings in messages.
    pressure_accuracy : float, [Pa]
        ± of both gauges; None: class 1.6 of the usual span (EN 837-1).
    discharge_pressure_accuracy : float, [Pa]
        ± of the high-side gauge where it differs; None: as `pressure_accuracy`.
    temperature_accuracy : float, [K]
        ± of each clamp; None: 1.5 K, thermocouple type K of class 1 (IEC 60584-1).
    mass_flow : float, [kg/s]
        Refrigerant flow, where it is known; taken as exact.
    """

    refrigerant: str
    suction_pressure: float
    discharge_pressure: float
    suction_temperature: float
    discharge_temperature: float
    liquid_temperature: float
    evaporator_outlet_temperature: float | None = None
    altitude: float = 0.0
    pressure_accuracy: float | None = None
    discharge_pressure_accuracy: float | None = None
    temperature_accuracy: float | None = None
    mass_flow: float | None = None


def cycle_from_readings(readings):
    """Return the cycle that a set of gauge and clamp readings describes, with ± for every result.

    Parameters
    ----------
    readings : Readings
        Two pressures and three or four line temperatures of a system that has run steadily for some minutes.

    Returns
    -------
    CycleResult
        As from `solve_cycle`, with `uncertainty` filled [SI unit of each quantity] and notes on what the
        readings leave open.

    Raises
    ------
    ReadingsError
        If the readings contradict each other or physics; the message names the likely cause.
    UnknownNameError
        If the refrigerant is not in the workbook.

    Notes
    -----
    Pressure losses between the gauge ports and the coils are not seen by the gauges and count as zero, and
    the compressor counts as losing no heat, so the isentropic efficiency is an apparent one. Pressure and
    temperature cannot tell how much vapour a boiling mixture holds: where a reading lies on the wrong side of
    saturation by less than twice its uncertainty, the saturated state is used and a note says so.
    Accuracies count as half-widths of the same coverage (about 95 %) and as independent; they are combined
    by root sum of squares of the change that each one causes. Default accuracies are common practice: gauge
    class 1.6, that is ±1.6 % of a span of 10 bar low side and 35 bar high side (100 and 160 bar for R-744),
    thermocouple class 1. A clamp in poor contact is off by more than any of these.

    References
    ----------
    JCGM 100:2008 (GUM), section 5.1 and F.2 (numerical sensitivity); EN 837-1:1996, Table 11 (gauge classes);
    IEC 60584-1 (thermocouple tolerances).

    Examples
    --------
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
    result = _computed(readings, fluid)
    return dataclasses.replace(
        result,
        uncertainty=_uncertainty(readings, fluid, result),
        notes=tuple(points_to_note(readings, fluid)),
    )


def _computed(readings, fluid):
    """The cycle of these readings, whatever they are; saturation bounds every state."""
    found = states_of(readings, fluid)
    one, two, three, six = found.one, found.two, found.three, found.six
    five = fluid.at(p=readings.suction_pressure, h=three.h)
    effect, work, rejected = six.h - five.h, two.h - one.h, two.h - three.h
    closure = abs(effect + work + (one.h - six.h) - rejected) / abs(rejected)
    flow = readings.mass_flow
    return CycleResult(
        spec=readings,
        refrigerant=fluid.name,
        points=numbered((one, two, three, three, five, six), found.transcritical),
        evaporating_pressure=readings.suction_pressure,
        condensing_pressure=readings.discharge_pressure,
        evaporating_temperature=found.dew,
        condensing_temperature=found.bubble,
        superheat=found.superheat,
        suction_superheat=readings.suction_temperature - found.dew,
        subcooling=None if found.transcritical else found.bubble - readings.liquid_temperature,
        discharge_temperature=readings.discharge_temperature,
        pressure_ratio=readings.discharge_pressure / readings.suction_pressure,
        refrigerating_effect=effect,
        compressor_work=work,
        heat_rejected=rejected,
        coefficient_of_performance=effect / work,
        isentropic_efficiency=(found.ideal.h - one.h) / work,
        mass_flow=flow,
        cooling_capacity=None if flow is None else flow * effect,
        compressor_power=None if flow is None else flow * work,
        heat_rejection=None if flow is None else flow * rejected,
        energy_closure=closure,
    )


def _uncertainty(readings, fluid, result):
    """Root sum of squares of the changes that each instrument's ± causes."""
    accuracies = accuracies_of(readings, fluid)
    squares = dict.fromkeys((name for name in _WITH_UNCERTAINTY if getattr(result, name) is not None), 0.0)
    for name in MEASURED:
        if getattr(readings, name) is None:
            continue
        sides = either_side(lambda moved: _computed(moved, fluid), readings, name, accuracies[name])
        for key in squares:
            above, below = (None if side is None else getattr(side, key) for side in sides)
            squares[key] += change_caused(getattr(result, key), above, below) ** 2
    return {key: math.sqrt(total) for key, total in squares.items()}
