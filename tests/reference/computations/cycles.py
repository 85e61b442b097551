"""What the systems room says of whole cycles, in the quantities that textbooks print."""

from thermo_kit.substances import Refrigerant
from thermo_kit.systems import CycleSpec, Readings, best_gas_cooler_pressure, cycle_from_readings, solve_cycle
from thermo_kit.systems.readings_states import MEASURED


def between_pressures(refrigerant, low, high, quantity, liquid_temperature=None, vapour_temperature=None, **others):
    """A cycle given by its two pressures, as textbooks do."""
    fluid = Refrigerant(refrigerant)
    evaporating, condensing = fluid.dew_temperature(low), fluid.bubble_temperature(high)
    if liquid_temperature is not None:
        others["subcooling"] = condensing - liquid_temperature
    if vapour_temperature is not None:
        others["superheat"] = vapour_temperature - evaporating
    return between_temperatures(refrigerant, evaporating, condensing, quantity, **others)


def between_temperatures(refrigerant, evaporating, condensing, quantity, **others):
    between = {"evaporating_temperature": evaporating, "condensing_temperature": condensing}
    cycle = solve_cycle(CycleSpec(refrigerant=refrigerant, **between, **others))
    if quantity == "volumetric_capacity":
        return cycle.refrigerating_effect * cycle.points[0].state.rho
    return getattr(cycle, quantity)


def flow_for_capacity(capacity, **cycle):
    return capacity / between_temperatures(quantity="refrigerating_effect", **cycle)


def from_readings(refrigerant, quantity, low, high, suction, discharge, liquid, mass_flow):
    shown = dict(zip(MEASURED, (low, high, suction, discharge, liquid), strict=False))
    return getattr(cycle_from_readings(Readings(refrigerant=refrigerant, mass_flow=mass_flow, **shown)), quantity)


def gain_by_heat_exchanger(refrigerant, evaporating, condensing, effectiveness, **others):
    """Relative change of COP by the internal heat exchanger."""
    case = {"refrigerant": refrigerant, "evaporating": evaporating, "condensing": condensing, **others}
    without, with_it = (
        between_temperatures(**case, quantity="coefficient_of_performance", internal_heat_exchanger_effectiveness=share)
        for share in (0.0, effectiveness)
    )
    return with_it / without - 1


def sign_of_gain(**case):
    return 1.0 if gain_by_heat_exchanger(**case) > 0 else -1.0


def change_of_drop_in(quantity, evaporating, condensing, effectiveness=0.0, **others):
    """Relative change from R-134a to R-1234yf at equal swept volume; the heat exchanger is on the second only."""
    case = (evaporating, condensing, "volumetric_capacity" if quantity == "cooling_capacity" else quantity)
    new = between_temperatures("R-1234yf", *case, internal_heat_exchanger_effectiveness=effectiveness, **others)
    return new / between_temperatures("R-134a", *case, **others) - 1


def recovery_of_drop_in(quantity, effectiveness, **case):
    return change_of_drop_in(quantity, effectiveness=effectiveness, **case) - change_of_drop_in(quantity, **case)


def best_pressure(evaporating, outlet):
    spec = CycleSpec(refrigerant="R-744", evaporating_temperature=evaporating, gas_cooler_outlet_temperature=outlet)
    return best_gas_cooler_pressure(spec)


def liao_pressure(evaporating, outlet):
    """Liao, Zhao & Jakobsen, Appl. Therm. Eng. 20 (2000) 831-841: a straight-line fit for R-744, read second hand."""
    evaporating, outlet = evaporating - 273.15, outlet - 273.15
    return 1e5 * ((2.778 - 0.0157 * evaporating) * outlet + 0.381 * evaporating - 9.34)
