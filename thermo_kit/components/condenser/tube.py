"""One tube of one pass, walked in short steps: cooling gas, condensing, cooling liquid."""

import math

from thermo_kit.laws.exchange import effectiveness, mean_share
from thermo_kit.laws.films import condensing_coefficient, single_phase_coefficient
from thermo_kit.laws.friction import single_phase_friction, two_phase_friction
from thermo_kit.laws.void import void_fraction

_TINY = 1e-3
_STAGES = 6


class Tube:
    """One tube with its share of air. `advance` walks one step; the object keeps enthalpy, pressure and sums."""

    def __init__(self, spec, fluid, pass_air, tube_flow, air_temperature):
        self.spec, self.fluid = spec, fluid
        self.flow = tube_flow
        self.diameter = spec.port_diameter
        self.area = spec.ports * 0.25 * math.pi * spec.port_diameter**2
        self.inner_perimeter = spec.ports * math.pi * spec.port_diameter
        self.flux = tube_flow / self.area
        self.air_conductance = pass_air.conductance
        self.air_rate = pass_air.capacity_rate
        self.open_share = pass_air.open_share
        self.air_temperature = air_temperature
        self.lengths = {"vapour": 0.0, "two-phase": 0.0, "liquid": 0.0}
        self.trailing_liquid = 0.0
        self.last_slope = 0.0
        self.last_grip = None

    def grip(self, coefficient):
        """Return heat flow per metre of tube and per kelvin between refrigerant and entering air [W/(m K)]."""
        conductance = 1.0 / (1.0 / (coefficient * self.inner_perimeter) + 1.0 / self.air_conductance)
        return self.open_share * self.air_rate * effectiveness(conductance / self.air_rate)

    def advance(self, h, p, length):
        """Walk one step: return (enthalpy, pressure, mass held, heat to air) at its end."""
        s = self.fluid.table.at(p - 0.5 * self.last_slope * length)
        left, drop, mass, heat = length, 0.0, 0.0, 0.0
        volume = specific_volume(self.fluid, s, h)
        for _ in range(_STAGES):
            if h - s.vapour_enthalpy > _TINY:
                phase, stage = "vapour", self._gas
            elif h - s.liquid_enthalpy > _TINY:
                phase, stage = "two-phase", self._mixture
            else:
                phase, stage = "liquid", self._liquid
            h, used, friction, density, given = stage(h, s, left)
            self.lengths[phase] += used
            self.trailing_liquid = self.trailing_liquid + used if phase == "liquid" else 0.0
            drop += friction * used
            mass += density * self.area * used
            heat += given
            left -= used
            if left <= 1e-12 * length:
                break
        self.last_slope = drop / length
        # Slowing down gives pressure back: homogeneous momentum balance.
        drop += self.flux**2 * (specific_volume(self.fluid, s, h) - volume)
        return h, p - drop, mass, heat

    def _pure(self, viscosity, conductivity, specific_heat):
        return single_phase_coefficient(
            mass_flux=self.flux, diameter=self.diameter, viscosity=viscosity, conductivity=conductivity,
            specific_heat=specific_heat,
        )  # fmt: skip

    def _single(self, line, excess, *, density_scale=1.0, offset=0.0):
        distance, density, specific_heat, viscosity, conductivity = line.at(excess, offset)
        density *= density_scale
        coefficient = self._pure(viscosity, conductivity, specific_heat)
        friction = single_phase_friction(
            mass_flux=self.flux, diameter=self.diameter, density=density, viscosity=viscosity
        )
        return distance, density, specific_heat, coefficient, friction

    def _gas(self, h, s, left):
        line, scale = self.fluid.vapour, s.p / self.fluid.line_pressure
        excess = h - s.vapour_enthalpy
        distance, density, cp, coefficient, friction = self._single(line, excess, density_scale=scale)
        grip = self.grip(coefficient)
        warm = s.T + distance - self.air_temperature
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        cp = line.at(max(excess - 0.5 * cp * fall, 0.0))[2]
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        used = left
        if cp * fall >= excess:
            cp = excess / distance
            used = min(self.flow * cp / grip * -math.log1p(-min(distance / warm, 1.0 - 1e-12)), left)
            fall, after = distance, s.vapour_enthalpy
        else:
            after = h - cp * fall
        return after, used, friction, density, grip * used * warm * mean_share(grip * used / (self.flow * cp))

    def _mixture(self, h, s, left):
        latent = s.vapour_enthalpy - s.liquid_enthalpy
        x = (h - s.liquid_enthalpy) / latent
        warm = s.T - self.air_temperature
        ends = self._ends(s)
        if self.last_grip is None:
            self.last_grip = self.grip(self._film(x, s, ends))
        middle = max(x - 0.5 * self.last_grip * warm * left / (self.flow * latent), 0.5 * x)
        grip = self.grip(self._film(middle, s, ends))
        used, after = left, h - grip * warm * left / self.flow
        if after <= s.liquid_enthalpy:
            after = s.liquid_enthalpy
            used = min(self.flow * (h - after) / (grip * warm), left)
        self.last_grip = grip
        friction = two_phase_friction(mass_flux=self.flux, diameter=self.diameter, quality=middle, saturation=s)
        end = (after - s.liquid_enthalpy) / latent
        density = (self._density(x, s) + 4.0 * self._density(0.5 * (x + end), s) + self._density(end, s)) / 6.0
        return after, used, friction, density, grip * warm * used

    def _ends(self, s):
        _, _, cp, viscosity, conductivity = self.fluid.vapour.at(0.0)
        liquid = self._pure(s.liquid_viscosity, s.liquid_conductivity, s.liquid_specific_heat)
        return liquid, self._pure(viscosity, conductivity, cp)

    def _film(self, x, s, ends):
        return condensing_coefficient(
            mass_flux=self.flux, diameter=self.diameter, quality=x, saturation=s,
            critical_pressure=self.fluid.critical_pressure, liquid=ends[0], vapour=ends[1],
        )  # fmt: skip

    def _density(self, x, s):
        void = void_fraction(x, s)
        return void * s.vapour_density + (1.0 - void) * s.liquid_density

    def _liquid(self, h, s, left):
        excess = max(s.liquid_enthalpy - h, 0.0)
        offset = self.fluid.line_liquid_enthalpy - s.liquid_enthalpy
        distance, density, cp, coefficient, friction = self._single(self.fluid.liquid, excess, offset=offset)
        grip = self.grip(coefficient)
        warm = s.T - distance - self.air_temperature
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        cp = self.fluid.liquid.at(excess + 0.5 * cp * fall, offset)[2]
        fall = warm * effectiveness(grip * left / (self.flow * cp))
        return h - cp * fall, left, friction, density, grip * left * warm * mean_share(grip * left / (self.flow * cp))


def specific_volume(fluid, s, h):
    """Return the specific volume at an enthalpy, vapour and liquid taken to move together [m³/kg]."""
    if h >= s.vapour_enthalpy:
        return fluid.line_pressure / (s.p * fluid.vapour.at(h - s.vapour_enthalpy)[1])
    if h <= s.liquid_enthalpy:
        return 1.0 / fluid.liquid.at(s.liquid_enthalpy - h)[1]
    x = (h - s.liquid_enthalpy) / (s.vapour_enthalpy - s.liquid_enthalpy)
    return x / s.vapour_density + (1.0 - x) / s.liquid_density
