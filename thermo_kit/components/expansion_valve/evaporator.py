"""A lumped evaporator and a compressor that draws a fixed volume: what they make of a low-side pressure."""

import math
from dataclasses import dataclass

from thermo_kit.components.expansion_valve.flow import inlet_density
from thermo_kit.substances import Refrigerant


@dataclass(frozen=True, slots=True)
class Inlet:
    """What stands in front of the valves: pressure [Pa], temperature [K], enthalpy [J/kg], density [kg/m³] of
    all that enters and liquid_density of its liquid."""

    pressure: float
    temperature: float
    enthalpy: float
    density: float
    liquid_density: float


@dataclass(frozen=True, slots=True)
class Draw:
    """What compressor and evaporator agree on at one pressure.

    pressure [Pa]; boiling [K]; outlet_temperature [K]; quality; mass_flow [kg/s]; boiling_share; outlet_enthalpy
    [J/kg]; behind_volume: of the mixture behind the valve [m³/kg]; wall_heat: through the wall by conductance [W]
    """

    pressure: float
    boiling: float
    outlet_temperature: float
    quality: float
    mass_flow: float
    boiling_share: float
    outlet_enthalpy: float
    behind_volume: float
    wall_heat: float


def inlet_of(duty):
    """Return the state in front of the valves."""
    fluid = Refrigerant(duty.refrigerant)
    pressure = fluid.bubble_pressure(duty.condensing_temperature)
    if duty.subcooling > 0.01:
        liquid = fluid.at(p=pressure, T=duty.condensing_temperature - duty.subcooling)
        return Inlet(pressure, liquid.T, liquid.h, liquid.rho, liquid.rho)
    liquid, vapour = (fluid.at(T=duty.condensing_temperature, x=x) for x in (0.0, 1.0))
    x = duty.inlet_quality
    density = inlet_density(liquid_density=liquid.rho, vapour_density=vapour.rho, quality=x)
    return Inlet(pressure, liquid.T, liquid.h + x * (vapour.h - liquid.h), density, liquid.rho)


class Coil:
    """The evaporator of a duty at one boiling temperature."""

    def __init__(self, duty, inlet, boiling, guess=None):
        self.duty, self.inlet, self.boiling = duty, inlet, boiling
        self.fluid = Refrigerant(duty.refrigerant)
        self.vapour = self.fluid.at(T=boiling, x=1.0)
        self.liquid = self.fluid.at(T=boiling, x=0.0)
        self.pressure = self.vapour.p
        self.drive = duty.air_temperature - boiling
        self.guess = 0.3 * self.drive if guess is None else guess

    @property
    def behind_volume(self):
        """Volume of a kilogram of the mixture behind the valve [m³/kg]."""
        x = max((self.inlet.enthalpy - self.liquid.h) / (self.vapour.h - self.liquid.h), 0.0)
        return (1.0 - x) / self.liquid.rho + x / self.vapour.rho

    def draw(self):
        """Return what evaporator and compressor agree on: wet or dry at the outlet."""
        duty = self.duty
        if duty.suction_flow * self.vapour.rho * (self.vapour.h - self.inlet.enthalpy) >= duty.conductance * self.drive:
            return self._wet()
        return self.dry(lambda state: duty.suction_flow * state.rho)

    def _wet(self):
        duty, liquid, vapour = self.duty, self.liquid, self.vapour
        heat = duty.conductance * self.drive
        thin, thick = 1.0 / vapour.rho, 1.0 / liquid.rho
        above = heat * thick + duty.suction_flow * (self.inlet.enthalpy - liquid.h)
        below = duty.suction_flow * (vapour.h - liquid.h) - heat * (thin - thick)
        x = above / below
        flow = duty.suction_flow / (thick + x * (thin - thick))
        enthalpy = liquid.h + x * (vapour.h - liquid.h)
        return Draw(self.pressure, self.boiling, self.boiling, x, flow, 1.0, enthalpy, self.behind_volume, heat)

    def dry(self, flow_at):
        """Return the dry outlet for a flow that depends on the outlet's state."""
        vapour = self.vapour
        low, high = self.boiling + 1e-6, self.boiling + self.drive * (1.0 - 1e-9)
        at, last, found = min(max(self.boiling + self.guess, low), high), None, None
        for _ in range(60):
            found = self._stretch(at, flow_at, vapour)
            value = found.outlet_temperature - at
            if abs(value) < 1e-7:
                break
            if value > 0.0:
                low = at
            else:
                high = at
            following = found.outlet_temperature
            if last is not None and last[1] != value:
                following = at - value * (at - last[0]) / (value - last[1])
            else:
                # The outlet answers to its own guess with about a tenth of it.
                following = at + 1.1 * value
            last = (at, value)
            at = following if low < following < high else 0.5 * (low + high)
        return found

    def _stretch(self, at, flow_at, vapour):
        """Return the outlet that a guess of its temperature leads to."""
        duty = self.duty
        state = self.fluid.at(p=self.pressure, T=max(at, self.boiling + 1e-6))
        flow = flow_at(state)
        if flow <= 0.0:
            return Draw(
                self.pressure, self.boiling, duty.air_temperature, 1.0, 0.0, 0.0, state.h, self.behind_volume, 0.0
            )
        boil = min(flow * (vapour.h - self.inlet.enthalpy) / (duty.conductance * self.drive), 1.0)
        capacity = flow * max((state.h - vapour.h) / (state.T - vapour.T), 1.0)
        units = (1.0 - boil) * duty.conductance * duty.dry_share / capacity
        gained = self.drive * -math.expm1(-units)
        outlet = self.boiling + gained
        heat = boil * duty.conductance * self.drive + capacity * gained
        return Draw(self.pressure, self.boiling, outlet, 1.0, flow, boil, state.h, self.behind_volume, heat)
