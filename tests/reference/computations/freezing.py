"""Freezing on a wall, slush, and the films of a plate chiller."""

from types import SimpleNamespace

import numpy as np

from tests.systems.textbook_freezing import freeze_layer, single_point_curve
from thermo_kit.components.chiller.films import boiling_film, plate_friction, plate_nusselt
from thermo_kit.substances import Coolant
from thermo_kit.systems.chiller_freeze import model as slush


def front_factor(stefan_number):
    """Ice thickness over 2 √(diffusivity · time), liquid at its freezing point."""
    cold, specific_heat, latent_heat = 20.0, 2100.0, 2100.0 * 20.0 / stefan_number
    curve = single_point_curve(latent_heat=latent_heat)
    time = 100.0
    reach = (2.2 / 1000.0 / specific_heat * time) ** 0.5
    (thickness,) = freeze_layer(
        curve, wall_temperature=273.15 - cold, start_temperature=273.15, depth=1.5 * reach, layers=300, times=(time,)
    )
    return thickness / (2.0 * reach)


def front(wall, start, time):
    (thickness,) = freeze_layer(
        single_point_curve(), wall_temperature=wall, start_temperature=start, depth=0.02, layers=200, times=(time,)
    )
    return thickness


def pond_time(thin, thick, air):
    # The book lets the ice cool for nothing; a tenth of its specific heat comes near without stiffness.
    curve = single_point_curve(
        solid_conductivity=2.093, solid_specific_heat=210.0, density=900.0, latent_heat=334.7e3
    )  # fmt: skip
    times = tuple(np.linspace(2e4, 2.4e5, 221))
    grown = freeze_layer(
        curve, wall_temperature=air, start_temperature=273.15, depth=1.2 * thick, layers=120, times=times
    )
    return float(np.interp(thick, grown, times) - np.interp(thin, grown, times))


def constant(name):
    return getattr(slush, name)


def ice_at_burst_limit(kind, freeze, burst):
    """Share of ice at the temperature against which `freeze` protects from ice and `burst` from damage."""
    needed = Coolant(kind, volume_fraction=freeze).mass_fraction
    return 1.0 - Coolant(kind, volume_fraction=burst).mass_fraction / needed


friction, nusselt = plate_friction, plate_nusselt


def boiling(mass_flow, area, diameter, quality, flux, **properties):
    # At 70 degrees the paper's angle ratio is 1, as the library's is at 45.
    stack = SimpleNamespace(hydraulic_diameter=diameter, channel_area=area, chevron_angle=70.0)
    saturation = SimpleNamespace(liquid_enthalpy=0.0, **properties)
    film = boiling_film(saturation, mass_flux=mass_flow / area, stack=stack)
    return float(film.coefficient(quality, flux))
