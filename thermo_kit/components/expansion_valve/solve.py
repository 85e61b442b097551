"""Valve, lumped evaporator and compressor brought together: the low-side pressure at which all three agree."""

from dataclasses import dataclass, replace

from thermo_kit.components.expansion_valve import forces
from thermo_kit.components.expansion_valve.spec import EvaporatorDuty, ExpansionValveSpec, ShutOffSpec, ValveFault
from thermo_kit.errors import InputError, NoSolutionError
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

    def through(self, area, outlet_pressure, behind_volume):
        """Return the flow [kg/s] through an area [m²] to a pressure [Pa]; behind_volume [m³/kg]: just behind it."""
        coefficient = forces.discharge_coefficient(inlet_density=self.liquid_density, outlet_volume=behind_volume)
        drop = self.pressure - outlet_pressure
        return forces.orifice_flow(area=area, density=self.density, pressure_drop=drop, coefficient=coefficient)


def inlet_of(duty):
    """Return the state in front of the valves."""
    fluid, pressure = Refrigerant(duty.refrigerant), duty.liquid_pressure
    if duty.subcooling > 0.01:
        liquid = fluid.at(p=pressure, T=duty.condensing_temperature - duty.subcooling)
        return Inlet(pressure, liquid.T, liquid.h, liquid.rho, liquid.rho)
    liquid, vapour = (fluid.at(T=duty.condensing_temperature, x=x) for x in (0.0, 1.0))
    x = duty.inlet_quality
    density = forces.inlet_density(liquid_density=liquid.rho, vapour_density=vapour.rho, quality=x)
    return Inlet(pressure, liquid.T, liquid.h + x * (vapour.h - liquid.h), density, liquid.rho)


@dataclass(frozen=True)
class Draw:
    """What compressor and evaporator agree on at one pressure, SI.

    evaporating_pressure: at the evaporator outlet, what a low-side gauge shows [Pa]; evaporating_temperature: its dew
    temperature [K]; outlet_temperature: of the line there [K]; outlet_quality: vapour share there, 1 when dry;
    mass_flow [kg/s]; boiling_share: of the evaporator that boils; outlet_enthalpy [J/kg]; outlet_density [kg/m³];
    behind_volume: of the mixture behind the valve [m³/kg]; wall_heat: through the wall by conductance [W];
    running_share: of the time in which the compressor runs; pulled_down: whether the low-side switch stops it
    """

    evaporating_pressure: float
    evaporating_temperature: float
    outlet_temperature: float
    outlet_quality: float
    mass_flow: float
    boiling_share: float
    outlet_enthalpy: float
    outlet_density: float
    behind_volume: float
    wall_heat: float
    running_share: float = 1.0
    pulled_down: bool = False

    @property
    def quality_is_wet(self):
        """Whether liquid leaves the evaporator."""
        return self.outlet_quality < 1.0


@dataclass(frozen=True, kw_only=True)
class FedEvaporator(Draw):
    """What any feed, the evaporator and the compressor settle to, SI.

    duty: what was asked; superheat: at the outlet, 0 when wet [K]; cooling_capacity [W]; outlet: Stream to the
    compressor; verdict; mass_closure: feed against compressor; energy_closure: heat through the wall against heat
    taken up
    """

    duty: EvaporatorDuty
    superheat: float
    cooling_capacity: float
    outlet: Stream
    verdict: str
    mass_closure: float
    energy_closure: float


def settled_to(draw, duty, enthalpy, feed, **more_closures):
    """Return the fields of FedEvaporator, once closed; enthalpy: of what enters [J/kg]; feed: as `settle` takes it."""
    flow, p, h = draw.mass_flow, draw.evaporating_pressure, draw.outlet_enthalpy
    heat, passed = flow * (h - enthalpy), feed(p, draw.outlet_temperature, draw.behind_volume)
    mass, energy = abs(passed - flow) / max(flow, 1e-9), abs(draw.wall_heat - heat) / max(abs(heat), 1.0)
    closed(mass=mass, energy=energy, **more_closures)
    superheat = draw.outlet_temperature - draw.evaporating_temperature
    return vars(draw) | {
        "duty": duty,
        "superheat": superheat,
        "cooling_capacity": heat,
        "outlet": Stream(refrigerant=duty.refrigerant, pressure=p, enthalpy=h, mass_flow=flow),
        "verdict": _verdict(draw, superheat),
        "mass_closure": mass,
        "energy_closure": energy,
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
            advice = "take less subcooling, warmer air or a smaller port"
            told = "even at the low-side cut-out"
            raise NoSolutionError.about("evaporator", "does not warm the liquid to its boiling point", told, advice)
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


_LEAST_DRIVE = 0.5
STARVED_ABOVE = 15.0
"""Superheat above which a valve is called starved [K]: our own choice, no source."""
FLOODING_BELOW = 2.0
"""Superheat below which it is called flooding, as a clamp hardly tells it from none [K]: our own choice, no source."""

VERDICTS = {
    "in balance": "the last drop boils shortly before the end of the evaporator",
    "starved": "too little comes in: much of the evaporator is dry, the low side falls",
    "flooding": "too much comes in: liquid leaves the evaporator and runs to the compressor",
    "pulled down": "so little comes in that the low-side switch stops the compressor again and again",
}


@dataclass(frozen=True, kw_only=True)
class ValveResult(FedEvaporator):
    """A valve, its evaporator and the compressor at the point where all three agree, SI.

    spec: what was asked; balance: forces on the diaphragm; valve_pressure: in front of the
    expansion valve [Pa]; flashes_before_valve: vapour enters it; verdict_words; notes
    """

    spec: ExpansionValveSpec
    balance: forces.ForceBalance
    valve_pressure: float
    flashes_before_valve: bool
    verdict_words: str
    notes: tuple = ()


def _verdict(draw, superheat):
    """Return the key of VERDICTS that fits; superheat [K]."""
    if draw.pulled_down:
        return "pulled down"
    if draw.quality_is_wet or superheat < FLOODING_BELOW:
        return "flooding"
    return "starved" if superheat > STARVED_ABOVE else "in balance"


def solve_valve(spec, duty, *, fault=None, shut_off=None):
    """Return the readings that a valve, its evaporator and the compressor settle to.

    Parameters
    ----------
    spec : ExpansionValveSpec. The expansion valve.
    duty : EvaporatorDuty. What it is fed with, what it feeds, how hard the compressor draws.
    fault : ValveFault, optional. What is wrong with it.
    shut_off : ShutOffSpec, optional. The shut-off valve in front of it; open and wide by default.

    Returns: ValveResult. Low-side pressure, superheat, flow, cooling, forces, verdict, closures. Raises InputError if
        the bulb of a block valve is said to be loose; NoSolutionError if the valve passes more than the compressor can
        draw even when hardly anything boils, if the evaporator cannot warm the liquid to its boiling point, or if mass,
        heat or force does not close.

    Notes: The evaporator is lumped: one air temperature, one conductance where it boils, a share of it where it is dry.
        The pressure drop is given and does not follow the flow. The compressor draws a fixed volume each second. The
        high side stays where it is told. Where the low side would fall below the cut-out, the compressor is taken to
        run a share of the time at that pressure. A shut-off valve that is open stands in series with the expansion
        valve. Pressures that swing (hunting) are not computed.

    References: Flow: Wile 1935, see `discharge_coefficient`. Evaporator: heat exchanger with one constant temperature,
        Incropera & DeWitt, chapter on heat exchangers. Balances of mass, force and heat.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> duty = EvaporatorDuty(refrigerant="R-134a", condensing_temperature=323.15)
    >>> solve_valve(part_of("older_van", "expansion_valve"), duty).verdict
    'in balance'
    """
    fault, shut_off = fault or ValveFault(), shut_off or ShutOffSpec()
    if spec.body == "block" and fault.bulb_loose_share > 0.0:
        advice = "it sits inside the body, in the return passage: choose another fault or a strap bulb"
        raise InputError.about("bulb of a block valve", "cannot come loose", "", advice)
    inlet = inlet_of(duty)
    feed = Feed(spec, duty, fault, shut_off, inlet)
    draw = settle(duty, inlet, feed.flow)
    balance = forces.force_balance(
        spec,
        refrigerant=duty.refrigerant,
        outlet_pressure=draw.evaporating_pressure,
        bulb_temperature=feed.bulb_temperature(draw.outlet_temperature),
        pressure_drop=duty.pressure_drop,
        fault=fault,
        atmosphere=duty.atmosphere,
    )
    both, before = forces.in_series(forces.port_area(spec, balance.lift), shut_off.area), balance.inlet_pressure
    if shut_off.area > 0.0:
        before = inlet.pressure - (inlet.pressure - before) * (both / shut_off.area) ** 2
    bubbles_below = Refrigerant(duty.refrigerant).bubble_pressure(inlet.temperature) - 1.0
    flashes = duty.inlet_quality > 0.0 or (both > 0.0 and before < bubbles_below)
    found = settled_to(draw, duty, inlet.enthalpy, feed.flow, force=balance.force_closure)
    return ValveResult(
        **found,
        spec=spec,
        balance=balance,
        valve_pressure=before,
        flashes_before_valve=flashes,
        verdict_words=VERDICTS[found["verdict"]],
        notes=tuple(_notes(feed, balance, flashes, draw)),
    )


def settle(duty, inlet, flow):
    """Return the Draw on which a feed, the evaporator and the compressor agree.

    flow: of the feed at (outlet pressure [Pa], outlet temperature [K], volume behind the valve [m³/kg]) → [kg/s]
    """
    fluid, guess = Refrigerant(duty.refrigerant), None

    def settled_at(boiling):
        nonlocal guess
        draw = LumpedCoil(duty, inlet, boiling, guess).draw()
        guess = draw.outlet_temperature - boiling if draw.outlet_quality == 1.0 else 0.5
        return draw

    def surplus_of(draw):
        return flow(draw.evaporating_pressure, draw.outlet_temperature, draw.behind_volume) - draw.mass_flow

    def surplus(boiling):
        return surplus_of(settled_at(boiling))

    low, pressure = fluid.dew_temperature(duty.lowest_pressure), inlet.pressure - duty.pressure_drop
    warmest = fluid.dew_temperature(pressure) if pressure > fluid.lowest_pressure else 0.0
    high = min(duty.air_temperature - _LEAST_DRIVE, warmest)
    at_low = settled_at(low)
    least = at_low.mass_flow
    if low >= high or surplus_of(at_low) <= 0.0:
        coil = LumpedCoil(duty, inlet, low)
        volume = coil.behind_volume
        draw = coil.fed(lambda outlet: flow(coil.pressure, outlet, volume))
        running = draw.mass_flow / (duty.suction_flow * draw.outlet_density)
        return replace(draw, running_share=running, pulled_down=True)
    if surplus(high) >= 0.0:
        advice = "take a smaller port, or let the compressor draw more"
        told = "even when hardly anything boils"
        raise NoSolutionError.about("expansion valve", "passes more than the compressor draws", told, advice)
    usual = low + 0.45 * (high - low)
    found = root_near(
        surplus, usual, lambda off: 3.0 * abs(off) / least, low, high, what="boiling temperature",
        settled=3e-7 * least,
    )  # fmt: skip
    return settled_at(found)


class Feed:
    """The two valves, one behind the other: what they pass at one low-side pressure."""

    def __init__(self, spec, duty, fault, shut_off, inlet):
        self.spec, self.duty, self.fault, self.shut_off, self.inlet = spec, duty, fault, shut_off, inlet

    def bulb_temperature(self, outlet_temperature):
        """Return what the bulb feels, [K]."""
        return outlet_temperature + self.fault.bulb_loose_share * (self.duty.ambient_temperature - outlet_temperature)

    def opening(self, outlet_pressure, outlet_temperature):
        """Return the gap at the pin, [m²]."""
        spec, duty = self.spec, self.duty
        if self.fault.stuck_at is not None:
            return forces.port_area(spec, self.fault.stuck_at * spec.full_lift)
        above = duty.atmosphere
        if not self.fault.bulb_lost:
            feels = self.bulb_temperature(outlet_temperature)
            above = forces.bulb_pressure(spec, refrigerant=duty.refrigerant, bulb_temperature=feels)
        below = outlet_pressure + (duty.pressure_drop if spec.equalisation == "internal" else 0.0)
        return forces.port_area(spec, forces.lift_of(spec, above=above, below=below))

    def flow(self, outlet_pressure, outlet_temperature, behind_volume):
        """Return what passes, [kg/s]."""
        area = forces.in_series(self.opening(outlet_pressure, outlet_temperature), self.shut_off.area)
        return self.inlet.through(area, outlet_pressure + self.duty.pressure_drop, behind_volume)


def _notes(feed, balance, flashes, draw):
    if flashes:
        yield _flash_note(feed)
    if flashes and feed.duty.inlet_quality == 0.0:
        yield "The shut-off valve itself throttles here; the model counts no loss for the vapour it makes."
    if balance.static_superheat is None and not feed.fault.bulb_lost:
        yield ("At this low-side pressure the bulb cannot open the valve: the maximum operating pressure is passed.")
    if balance.state == "fully open" and feed.fault.stuck_at is None:
        more = ", and more vapour means less flow" if flashes else ""
        yield f"The pin stands at its stop: the valve can give no more{more}."
    if draw.pulled_down:
        yield "The compressor stops and starts at the low-side switch; gauges swing."
    if draw.quality_is_wet:
        yield "Liquid leaves the evaporator: a clamp cannot show it, it reads the boiling point."


def _flash_note(feed):
    text = "Vapour enters the expansion valve: it takes room in the port"
    if feed.fault.stuck_at is not None or feed.fault.bulb_lost:
        text += ", and this valve cannot open further to make up for it: the flow falls."
    else:
        text += "; the valve opens further to make up for it, until the pin stands at its stop."
    # What boils in the shut-off valve takes no cooling away: throttling leaves the enthalpy as it was.
    return f"{text} Each kilogram cools less." if feed.duty.inlet_quality > 0.0 else text
