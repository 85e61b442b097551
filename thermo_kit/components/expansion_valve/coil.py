"""A lumped evaporator and a compressor that draws a fixed volume: what they make of a low-side pressure."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve.flow import inlet_density
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.laws.exchange import effectiveness
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant, Stream

_NEAR = 1e-3


@dataclass(frozen=True, slots=True)
class Inlet:
    """What stands in front of the valves: pressure [Pa], temperature [K], enthalpy [J/kg], density [kg/m³] of
    all that enters and liquid_density of its liquid."""

    pressure: float
    temperature: float
    enthalpy: float
    density: float
    liquid_density: float


def inlet_of(duty):
    """Return the state in front of the valves."""
    fluid, pressure = Refrigerant(duty.refrigerant), duty.liquid_pressure
    if duty.subcooling > 0.01:
        liquid = fluid.at(p=pressure, T=duty.condensing_temperature - duty.subcooling)
        return Inlet(pressure, liquid.T, liquid.h, liquid.rho, liquid.rho)
    liquid, vapour = (fluid.at(T=duty.condensing_temperature, x=x) for x in (0.0, 1.0))
    x = duty.inlet_quality
    density = inlet_density(liquid_density=liquid.rho, vapour_density=vapour.rho, quality=x)
    return Inlet(pressure, liquid.T, liquid.h + x * (vapour.h - liquid.h), density, liquid.rho)


@dataclass(frozen=True, slots=True)
class Draw:
    """What compressor and evaporator agree on at one pressure.

    pressure [Pa]; boiling [K]; outlet_temperature [K]; quality; mass_flow [kg/s]; boiling_share; outlet_enthalpy
    [J/kg]; outlet_density [kg/m³]; behind_volume: of the mixture behind the valve [m³/kg]; wall_heat: through the wall
    by conductance [W]
    """

    pressure: float
    boiling: float
    outlet_temperature: float
    quality: float
    mass_flow: float
    boiling_share: float
    outlet_enthalpy: float
    outlet_density: float
    behind_volume: float
    wall_heat: float


@dataclass(frozen=True, kw_only=True)
class FedEvaporator:
    """What any feed, the evaporator and the compressor settle to, SI.

    evaporating_pressure: at the evaporator outlet, what a low-side gauge shows [Pa]; evaporating_temperature: its dew
    temperature [K]; superheat: there, 0 when wet [K]; outlet_temperature: of the line there [K]; outlet_quality:
    vapour share there, 1 when dry; mass_flow [kg/s]; running_share: of the time in which the compressor runs;
    cooling_capacity [W]; outlet: Stream to the compressor; boiling_share: of the evaporator that boils; verdict;
    mass_closure: feed against compressor; energy_closure: heat through the wall against heat taken up
    """

    evaporating_pressure: float
    evaporating_temperature: float
    superheat: float
    outlet_temperature: float
    outlet_quality: float
    mass_flow: float
    running_share: float
    cooling_capacity: float
    outlet: Stream
    boiling_share: float
    verdict: str
    mass_closure: float
    energy_closure: float

    @property
    def quality_is_wet(self):
        """Whether liquid leaves the evaporator."""
        return self.outlet_quality < 1.0


def settled_to(draw, duty, enthalpy, *, passed, running, **more_closures):
    """Return the fields of FedEvaporator but the verdict, once closed; enthalpy [J/kg], passed: by the feed [kg/s]."""
    heat = draw.mass_flow * (draw.outlet_enthalpy - enthalpy)
    closures = {
        "mass": abs(passed - draw.mass_flow) / max(draw.mass_flow, 1e-9),
        "energy": abs(draw.wall_heat - heat) / max(abs(heat), 1.0),
    }
    closed(**closures, **more_closures)
    return {
        "evaporating_pressure": draw.pressure,
        "evaporating_temperature": draw.boiling,
        "superheat": draw.outlet_temperature - draw.boiling,
        "outlet_temperature": draw.outlet_temperature,
        "outlet_quality": draw.quality,
        "mass_flow": draw.mass_flow,
        "running_share": running,
        "cooling_capacity": heat,
        "outlet": Stream(
            refrigerant=Refrigerant(duty.refrigerant).name,
            pressure=draw.pressure,
            enthalpy=draw.outlet_enthalpy,
            mass_flow=draw.mass_flow,
        ),
        "boiling_share": draw.boiling_share,
        **{f"{what}_closure": error for what, error in closures.items()},
    }


class LumpedCoil:
    """The evaporator of a duty at one boiling temperature [K]; guess of its superheat [K]."""

    def __init__(self, duty, inlet, boiling, guess=None):
        self.duty, self.inlet, self.boiling = duty, inlet, boiling
        self.fluid = Refrigerant(duty.refrigerant)
        self.vapour = self.fluid.at(T=boiling, x=1.0)
        self.liquid = self.fluid.at(T=boiling, x=0.0)
        self.pressure = self.vapour.p
        self.drive = duty.air_temperature - boiling
        self.boiling_heat = duty.conductance * self.drive
        self.guess = 0.3 * self.drive if guess is None else guess

    @property
    def behind_volume(self):
        """Volume of a kilogram of the mixture behind the valve [m³/kg]."""
        x = max((self.inlet.enthalpy - self.liquid.h) / (self.vapour.h - self.liquid.h), 0.0)
        return self._volume(x)

    def _volume(self, x):
        return (1.0 - x) / self.liquid.rho + x / self.vapour.rho

    def draw(self):
        """Return what evaporator and running compressor agree on: wet or dry at the outlet."""
        drawn = self.duty.suction_flow
        if drawn * self.vapour.rho * (self.vapour.h - self.inlet.enthalpy) < self.boiling_heat:
            return self._dry(lambda _outlet, density: drawn * density)
        liquid, vapour, heat = self.liquid, self.vapour, self.boiling_heat
        thin, thick = 1.0 / vapour.rho, 1.0 / liquid.rho
        above = heat * thick + drawn * (self.inlet.enthalpy - liquid.h)
        below = drawn * (vapour.h - liquid.h) - heat * (thin - thick)
        # Liquid colder than it boils may be too much for the coil to warm: then the compressor would draw liquid.
        x = above / below if above > 0.0 and below > 0.0 else 0.0
        return self._wet(drawn / self._volume(x), x)

    def fed(self, flow_at):
        """Return what the evaporator makes of a feed that depends on the outlet's temperature; [K] → [kg/s]."""
        least = flow_at(self.boiling)
        if least * (self.vapour.h - self.inlet.enthalpy) <= self.boiling_heat:
            return self._dry(lambda outlet, _density: flow_at(outlet), settled=0.0)
        enthalpy = self.inlet.enthalpy + self.boiling_heat / least
        x = (enthalpy - self.liquid.h) / (self.vapour.h - self.liquid.h)
        if x < 0.0:
            raise NoSolutionError.about(
                "evaporator", "does not warm the liquid to its boiling point", "even at the low-side cut-out",
                "take less subcooling, warmer air or a smaller port",
            )  # fmt: skip
        return self._wet(least, x)

    def _wet(self, flow, x):
        enthalpy = self.liquid.h + x * (self.vapour.h - self.liquid.h)
        density = 1.0 / self._volume(x)
        volume, heat = self.behind_volume, self.boiling_heat
        return Draw(self.pressure, self.boiling, self.boiling, x, flow, 1.0, enthalpy, density, volume, heat)

    def _dry(self, flow_at, settled=1e-7):
        """Return the dry outlet for a flow that depends on the outlet's temperature and density; settled [K]."""
        tried = {}

        def short_of(at):
            tried[at] = self._stretch(at, flow_at)
            return tried[at].outlet_temperature - at

        # The outlet answers to its own guess with about a tenth of it.
        found = root_near(
            short_of, self.boiling + self.guess, lambda off: 1.1 * abs(off), self.boiling, self.duty.air_temperature,
            what="evaporator outlet", settled=settled,
        )  # fmt: skip
        return tried[found]

    def _stretch(self, at, flow_at):
        """Return the outlet that a guess of its temperature leads to; at [K]."""
        duty, vapour, volume = self.duty, self.vapour, self.behind_volume
        enthalpy, density, specific_heat = self._superheated(at)
        flow = flow_at(at, density)
        if flow <= 0.0:
            air = duty.air_temperature
            return Draw(self.pressure, self.boiling, air, 1.0, 0.0, 0.0, enthalpy, density, volume, 0.0)
        boil = min(flow * (vapour.h - self.inlet.enthalpy) / self.boiling_heat, 1.0)
        capacity = flow * specific_heat
        gained = self.drive * effectiveness((1.0 - boil) * duty.conductance * duty.dry_share / capacity)
        heat = boil * self.boiling_heat + capacity * gained
        outlet = self.boiling + gained
        return Draw(self.pressure, self.boiling, outlet, 1.0, flow, boil, enthalpy, density, volume, heat)

    def _superheated(self, at):
        """Return enthalpy [J/kg], density [kg/m³] and mean specific heat from the dew point on [J/(kg K)]; at [K]."""
        superheat = at - self.boiling
        # So near to the dew point, pressure and temperature do not fix a state: a straight line does.
        near = self.fluid.at(p=self.pressure, T=self.boiling + max(superheat, _NEAR))
        specific_heat = (near.h - self.vapour.h) / (near.T - self.vapour.T)
        share = min(superheat / _NEAR, 1.0)
        density = self.vapour.rho + share * (near.rho - self.vapour.rho)
        return self.vapour.h + specific_heat * superheat, density, specific_heat
