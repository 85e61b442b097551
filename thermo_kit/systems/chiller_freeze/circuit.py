"""The refrigerant side of a freezing chiller: one boiling pool, fed by a valve, drawn from by a compressor."""

import bisect
import functools
import math
from dataclasses import dataclass

import numpy as np

from thermo_kit.components.chiller.films import boiling_film
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.refrigerant import saturation_table

_WARMEST = 323.15
_STEP = 0.25


@dataclass(frozen=True, eq=False)
class PoolTable:
    """Saturation of a refrigerant on a row of temperatures, in the form the pool's balance needs; arrays in SI.

    columns: pressure, liquid_density, vapour_density, vapour_enthalpy by name, and what makes of mass and volume of a
    pool its internal energy (per_mass, per_volume) and its vapour (vapour_from_mass, vapour_from_volume)
    """

    temperature: np.ndarray
    columns: dict

    def energy_of(self, mass, T, volume):
        """Return the internal energy of a pool at a temperature; mass [kg], T [K], volume [m³] → [J]."""
        return self.read("per_mass", T) * mass + self.read("per_volume", T) * volume

    def read(self, name, T):
        """Return one column at a temperature; T [K] → [SI]."""
        return np.interp(T, self.temperature, self.columns[name])

    @functools.cached_property
    def rows(self):
        """The table as plain numbers, which a search through a single pool reads faster than arrays; → [SI]."""
        names = ("per_mass", "per_volume", "pressure", "vapour_density", "vapour_enthalpy", "vapour_from_volume",
                 "vapour_from_mass")  # fmt: skip
        return list(zip(*(self.columns[name].tolist() for name in names), strict=True))

    def pool(self, mass, energy, volume):
        """Return one pool of known mass and internal energy in a fixed volume.

        mass [kg], energy [J], volume [m³] → [SI].
        """

        def spare(row):
            return row[0] * mass + row[1] * volume - energy

        rows = self.rows
        index = min(max(bisect.bisect_left(rows, 0.0, key=spare), 1), len(rows) - 1) - 1
        below, above = rows[index], rows[index + 1]
        low, high = spare(below), spare(above)
        share = low / (low - high)
        T = self.coldest + _STEP * (index + share)
        share = min(max(share, 0.0), 1.0)
        pressure, density, enthalpy, from_volume, from_mass = (
            a + share * (b - a) for a, b in zip(below[2:], above[2:], strict=True)
        )
        return index, share, T, pressure, density, enthalpy, mass - from_volume * volume - from_mass * mass

    @functools.cached_property
    def coldest(self):
        """Temperature of the first row [K]."""
        return float(self.temperature[0])


@functools.lru_cache(maxsize=8)
def pool_table(refrigerant):
    """Return the pool table of a refrigerant, read once.

    References: Equations of state named at `thermo_kit.substances.Refrigerant`.
    """
    fluid = Refrigerant(refrigerant)
    warmest = min(_WARMEST, fluid.critical_temperature - 3.0)
    rows = [point for point in saturation_table(refrigerant).points if warmest > point.T]
    read = np.array([row.T for row in rows])
    # Finer rows through a spline: at each corner of a coarse table the integrator would shorten its steps.
    T = np.arange(read[0], read[-1] + 1e-9, _STEP)
    names = ("liquid_density", "vapour_density", "liquid_enthalpy", "vapour_enthalpy")
    liquid, vapour, h_liquid, h_vapour = (_fine(T, read, [getattr(row, name) for row in rows]) for name in names)
    pressure = np.exp(_fine(T, read, np.log([row.p for row in rows])))
    u_liquid, u_vapour = h_liquid - pressure / liquid, h_vapour - pressure / vapour
    swelling = 1.0 / vapour - 1.0 / liquid
    per_volume = (u_vapour - u_liquid) / swelling
    return PoolTable(T, {
        "pressure": pressure, "vapour_density": vapour, "liquid_density": liquid, "vapour_enthalpy": h_vapour,
        "per_mass": u_liquid - per_volume / liquid, "per_volume": per_volume,
        "vapour_from_volume": 1.0 / swelling, "vapour_from_mass": -1.0 / liquid / swelling,
    })  # fmt: skip


def _fine(T, read, values):
    from scipy.interpolate import CubicSpline

    return CubicSpline(read, values)(T)


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
            drawn *= smooth_number((T - self.table.coldest - 1.0) / 5.0)
        brought = feed * self.feed_enthalpy + (cabin - drawn) * enthalpy
        return T, filled, _DRY_SHARE * film, wet, feed + cabin - drawn, brought

    def speed_ratio(self, T):
        """Return the compressor's speed over its set speed; T [K] → [-]."""
        target = self.spec.speed_control_temperature
        if target is None:
            return 1.0
        low = self.spec.lowest_speed_ratio
        return low + (1.0 - low) * smooth_number(0.5 + _SPEED_GAIN * (T - target))
