"""What the internal heat exchanger and its films say, in the quantities that textbooks and papers print."""

import math

from tests.components.exchanger_cases import bus_exchanger, streams, van_exchanger
from thermo_kit.components.internal_heat_exchanger import annulus_coefficient, solve_exchanger
from thermo_kit.laws.films import single_phase_coefficient
from thermo_kit.systems import CycleSpec, effect_of_effectiveness, with_internal_heat_exchanger


def double_pipe_length(quantity):
    """Incropera's oil cooler: oil in the gap, water in the tube, counterflow."""
    oil, water = 0.1, 0.2
    inner, outer = 0.025, 0.045
    heat = oil * 2131.0 * (100.0 - 60.0)
    water_out = 30.0 + heat / (water * 4178.0)
    flux = water / (0.25 * math.pi * inner**2)
    tube = single_phase_coefficient(
        mass_flux=flux, diameter=inner, viscosity=725e-6, conductivity=0.625, specific_heat=4178.0
    )
    gap = annulus_coefficient(
        mass_flux=oil / (0.25 * math.pi * (outer**2 - inner**2)), inner=inner, outer=outer,
        viscosity=3.25e-2, conductivity=0.138, specific_heat=2131.0,
    )  # fmt: skip
    first, second = 100.0 - water_out, 60.0 - 30.0
    mean = (first - second) / math.log(first / second)
    length = heat / (1.0 / (1.0 / tube + 1.0 / gap) * mean * math.pi * inner)
    return {"reynolds": flux * inner / 725e-6, "length": length}[quantity]


def gap_nusselt(ratio):
    """Laminar Nusselt number at the inner wall of a gap, outer wall insulated."""
    outer = 1.0
    film = annulus_coefficient(
        mass_flux=1.0, inner=ratio, outer=outer, viscosity=1.0, conductivity=1.0, specific_heat=1.0
    )
    return film * (outer - ratio)


def change(quantity, effectiveness, **cycle):
    return getattr(effect_of_effectiveness(CycleSpec(**cycle), effectiveness), quantity)


def sign_of_gain(**case):
    return 1.0 if change(quantity="cop_change", **case) > 0 else -1.0


def gain_over_r134a(effectiveness, **cycle):
    """How many times the gain of R-134a another refrigerant has."""
    return change("cop_change", effectiveness, refrigerant="R-1234yf", **cycle) / change(
        "cop_change", effectiveness, refrigerant="R-134a", **cycle
    )


def bus_change(quantity, length, outlet, pressure):
    spec = CycleSpec(
        refrigerant="R-744", evaporating_temperature=275.15, gas_cooler_pressure=pressure,
        gas_cooler_outlet_temperature=outlet, superheat=5.0, isentropic_efficiency=0.65,
    )  # fmt: skip
    return getattr(with_internal_heat_exchanger(spec, bus_exchanger(length), 0.05), quantity)


def closure(name, length):
    return solve_exchanger(van_exchanger(length), *streams(name)).energy_closure
