"""The refrigerant around the chiller's boiling pool: expansion valve, cabin evaporator, compressor."""

import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.chiller.films import boiling_film
from thermo_kit.substances import Refrigerant
from thermo_kit.systems.chiller_freeze.refrigerant_pool import pool_table

_SPEED_GAIN = 0.15
_DRY_SHARE = 0.02


@dataclass(frozen=True)
class Mode:
    """What the protection and the pump do for a while: share of the feed let through, compressor on or off."""

    feed: float
    running: bool


def smooth_step(value):
    """Return 0 below 0, 1 above 1, and a smooth rise between; value [-] → [-]."""
    # Twice as fast as np.clip on arrays this small, and called at every step.
    value = np.minimum(np.maximum(value, 0.0), 1.0)
    return value * value * (3.0 - 2.0 * value)


def smooth_number(value):
    """Return what `smooth_step` does, for one number, where arrays would cost ten times as much; value [-] → [-]."""
    value = min(max(value, 0.0), 1.0)
    return value * value * (3.0 - 2.0 * value)


class Circuit:
    """One circuit; the pool is reckoned in plain numbers, one at a time."""

    def __init__(self, spec):
        self.spec, self.table = spec, pool_table(spec.refrigerant)
        fluid = Refrigerant(spec.refrigerant)
        channel_volume = spec.stack.channel_volume(spec.stack.refrigerant_channels)
        self.volume = channel_volume + spec.suction_volume
        self.high_pressure = fluid.bubble_pressure(spec.condensing_temperature)
        liquid = spec.condensing_temperature - max(spec.subcooling, 0.05)
        self.feed_enthalpy = fluid.at(p=self.high_pressure, T=liquid).h
        self.full_liquid = spec.liquid_share * channel_volume * float(self.table.read("liquid_density", 273.15))
        self.drop_at_rating = self.high_pressure - float(self.table.read("pressure", 273.15))
        self.swept = spec.compressor_displacement * spec.compressor_speed / (2.0 * math.pi)
        self.swept *= spec.volumetric_efficiency
        self.coldest = self.table.coldest
        self._set_film(fluid)

    def _set_film(self, fluid):
        stack, table = self.spec.stack, self.table
        density = float(table.read("vapour_density", 270.15))
        flux = self.swept * density / (stack.refrigerant_channels * stack.channel_area)
        nodes = np.linspace(table.temperature[0], table.temperature[-1], 7)
        films = [boiling_film(fluid.saturation(T), mass_flux=flux, stack=stack) for T in nodes]
        # Flux = (factor · difference)^(1/(1 − power)): the film's own power law solved for the flux.
        power = films[3].flux_power
        self.flux_power = 1.0 / (1.0 - power)
        logs = [math.log(float(f.coefficient(0.5, 1e4)) / 1e4**power) for f in films]
        factors = np.exp(np.interp(table.temperature, nodes, logs))
        self.film_factor = (factors**self.flux_power).tolist()

    def pool(self, mass, energy, mode):
        """Return what the boiling pool is and does; mass [kg], energy [J] → [SI]."""
        spec = self.spec
        index, share, T, pressure, density, enthalpy, liquid = self.table.pool(mass, energy, self.volume)
        filled = liquid / self.full_liquid
        film = self.film_factor[index] + share * (self.film_factor[index + 1] - self.film_factor[index])
        # Patches without liquid pass a little heat to the vapour; with no liquid anywhere, there is nothing to boil.
        film *= min(max(20.0 * filled, 0.0), 1.0)
        wet = (1.0 - _DRY_SHARE) * film * min(max(10.0 * filled, 0.0), 1.0)
        opening = smooth_number((1.15 - filled) / 0.5)
        drive = math.sqrt(max(self.high_pressure - pressure, 0.0) / self.drop_at_rating)
        feed = mode.feed * spec.valve_full_flow * opening * drive
        cabin = drawn = 0.0
        if mode.running:
            if spec.cabin_open:
                warmth = max(spec.cabin_air_temperature - T, 0.0)
                cabin = spec.cabin_conductance * warmth / (enthalpy - self.feed_enthalpy)
            drawn = self.swept * self.speed_ratio(T) * density
            # With the last drop gone the vapour thins out below saturation, and there is less to draw.
            drawn *= max(mass, 0.0) / (mass - min(liquid, 0.0) + 1e-9)
            # Near the end of the table the compressor is taken to draw nothing more.
            drawn *= smooth_number((T - self.coldest - 1.0) / 5.0)
        brought = feed * self.feed_enthalpy + (cabin - drawn) * enthalpy
        return T, filled, _DRY_SHARE * film, wet, feed + cabin - drawn, brought

    def speed_ratio(self, T):
        """Return the compressor's speed over its set speed; T [K] → [-]."""
        target = self.spec.speed_control_temperature
        if target is None:
            return 1.0
        low = self.spec.lowest_speed_ratio
        return low + (1.0 - low) * smooth_number(0.5 + _SPEED_GAIN * (T - target))
