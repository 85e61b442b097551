"""Valve, evaporator and compressor brought together: the low-side pressure at which all three agree."""

from dataclasses import dataclass

from thermo_kit.components.expansion_valve.coil import FedEvaporator, LumpedCoil, inlet_of, settled_to
from thermo_kit.components.expansion_valve.flow import discharge_coefficient, in_series, orifice_flow, port_area
from thermo_kit.components.expansion_valve.forces import ForceBalance, bulb_pressure, force_balance, lift_of
from thermo_kit.components.expansion_valve.spec import EvaporatorDuty, ExpansionValveSpec, ShutOffSpec, ValveFault
from thermo_kit.errors import InputError, NoSolutionError
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant

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

    spec, duty, fault, shut_off: what was asked; balance: forces on the diaphragm; valve_pressure: in front of the
    expansion valve [Pa]; flashes_before_valve: vapour enters it; discharge_coefficient [-]; verdict_words; notes
    """

    spec: ExpansionValveSpec
    duty: EvaporatorDuty
    fault: ValveFault
    shut_off: ShutOffSpec
    balance: ForceBalance
    valve_pressure: float
    flashes_before_valve: bool
    discharge_coefficient: float
    verdict_words: str
    notes: tuple = ()


def verdict_of(*, superheat, quality, pulled_down):
    """Return the key of VERDICTS that fits."""
    if pulled_down:
        return "pulled down"
    if quality < 1.0 or superheat < FLOODING_BELOW:
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
        raise InputError.about(
            "bulb of a block valve", "cannot come loose", "",
            "it sits inside the body, in the return passage: choose another fault or a strap bulb",
        )  # fmt: skip
    inlet = inlet_of(duty)
    feed = _Feed(spec, duty, fault, shut_off, inlet)
    draw, running, pulled_down = settle(duty, inlet, feed.flow)
    return _told(feed, draw, running, pulled_down)


def settle(duty, inlet, flow):
    """Return (Draw, running share, whether pulled down) of a feed: flow(outlet pressure [Pa], outlet temperature [K],
    volume behind the valve [m³/kg]) → [kg/s]."""
    fluid, guess = Refrigerant(duty.refrigerant), None

    def settled_at(boiling):
        nonlocal guess
        draw = LumpedCoil(duty, inlet, boiling, guess).draw()
        guess = draw.outlet_temperature - boiling if draw.quality == 1.0 else 0.5
        return draw

    def surplus_of(draw):
        return flow(draw.pressure, draw.outlet_temperature, draw.behind_volume) - draw.mass_flow

    def surplus(boiling):
        return surplus_of(settled_at(boiling))

    low, high = fluid.dew_temperature(duty.lowest_pressure), _warmest_boiling(duty, fluid, inlet)
    at_low = settled_at(low)
    least = at_low.mass_flow
    if low >= high or surplus_of(at_low) <= 0.0:
        coil = LumpedCoil(duty, inlet, low)
        volume = coil.behind_volume
        draw = coil.fed(lambda outlet: flow(coil.pressure, outlet, volume))
        return draw, draw.mass_flow / (duty.suction_flow * draw.outlet_density), True
    if surplus(high) >= 0.0:
        raise NoSolutionError.about(
            "expansion valve", "passes more than the compressor draws", "even when hardly anything boils",
            "take a smaller port, or let the compressor draw more",
        )  # fmt: skip
    usual = low + 0.45 * (high - low)
    found = root_near(
        surplus, usual, lambda off: 3.0 * abs(off) / least, low, high, what="boiling temperature",
        settled=3e-7 * least,
    )  # fmt: skip
    return settled_at(found), 1.0, False


def _warmest_boiling(duty, fluid, inlet):
    """Return where hardly anything boils, or the valve has no pressure left to drive a flow; → [K]."""
    nearly_air = duty.air_temperature - _LEAST_DRIVE
    pressure = inlet.pressure - duty.pressure_drop
    return min(nearly_air, fluid.dew_temperature(pressure)) if pressure > fluid.lowest_pressure else 0.0


class _Feed:
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
            return port_area(spec, self.fault.stuck_at * spec.full_lift)
        above = duty.atmosphere
        if not self.fault.bulb_lost:
            feels = self.bulb_temperature(outlet_temperature)
            above = bulb_pressure(spec, refrigerant=duty.refrigerant, bulb_temperature=feels)
        below = outlet_pressure + (duty.pressure_drop if spec.equalisation == "internal" else 0.0)
        return port_area(spec, lift_of(spec, above=above, below=below))

    def flow(self, outlet_pressure, outlet_temperature, behind_volume):
        """Return what passes, [kg/s]."""
        area = in_series(self.opening(outlet_pressure, outlet_temperature), self.shut_off.area)
        if area == 0.0:
            return 0.0
        return orifice_flow(
            area=area,
            density=self.inlet.density,
            pressure_drop=self.inlet.pressure - outlet_pressure - self.duty.pressure_drop,
            coefficient=discharge_coefficient(inlet_density=self.inlet.liquid_density, outlet_volume=behind_volume),
        )


def _told(feed, draw, running, pulled_down):
    """Arrange what was found."""
    spec, duty, inlet = feed.spec, feed.duty, feed.inlet
    fluid = Refrigerant(duty.refrigerant)
    balance = force_balance(
        spec,
        refrigerant=duty.refrigerant,
        outlet_pressure=draw.pressure,
        bulb_temperature=feed.bulb_temperature(draw.outlet_temperature),
        pressure_drop=duty.pressure_drop,
        fault=feed.fault,
        atmosphere=duty.atmosphere,
    )
    passed = feed.flow(draw.pressure, draw.outlet_temperature, draw.behind_volume)
    both = in_series(port_area(spec, balance.lift), feed.shut_off.area)
    taken = 0.0
    if feed.shut_off.area > 0.0:
        taken = (inlet.pressure - balance.inlet_pressure) * (both / feed.shut_off.area) ** 2
    before = inlet.pressure - taken if feed.shut_off.area > 0.0 else balance.inlet_pressure
    flashes = duty.inlet_quality > 0.0 or (both > 0.0 and before < fluid.bubble_pressure(inlet.temperature) - 1.0)
    closing = {"passed": passed, "running": running, "force": balance.force_closure}
    found = settled_to(draw, duty, inlet.enthalpy, **closing)
    verdict = verdict_of(superheat=found["superheat"], quality=draw.quality, pulled_down=pulled_down)
    return ValveResult(
        **found,
        spec=spec,
        duty=duty,
        fault=feed.fault,
        shut_off=feed.shut_off,
        balance=balance,
        valve_pressure=before,
        flashes_before_valve=flashes,
        discharge_coefficient=discharge_coefficient(
            inlet_density=inlet.liquid_density, outlet_volume=draw.behind_volume
        ),
        verdict=verdict,
        verdict_words=VERDICTS[verdict],
        notes=_notes(feed, balance, flashes, pulled_down, draw),
    )


def _notes(feed, balance, flashes, pulled_down, draw):
    notes = []
    if flashes:
        notes.append(_flash_note(feed))
    if flashes and feed.duty.inlet_quality == 0.0:
        notes.append("The shut-off valve itself throttles here; the model counts no loss for the vapour it makes.")
    if balance.static_superheat is None and not feed.fault.bulb_lost:
        notes.append(
            "At this low-side pressure the bulb cannot open the valve: the maximum operating pressure is passed."
        )
    if balance.state == "fully open" and feed.fault.stuck_at is None:
        more = ", and more vapour means less flow" if flashes else ""
        notes.append(f"The pin stands at its stop: the valve can give no more{more}.")
    if pulled_down:
        notes.append("The compressor stops and starts at the low-side switch; gauges swing.")
    if draw.quality < 1.0:
        notes.append("Liquid leaves the evaporator: a clamp cannot show it, it reads the boiling point.")
    return tuple(notes)


def _flash_note(feed):
    text = "Vapour enters the expansion valve: it takes room in the port"
    if feed.fault.stuck_at is not None or feed.fault.bulb_lost:
        text += ", and this valve cannot open further to make up for it: the flow falls."
    else:
        text += "; the valve opens further to make up for it, until the pin stands at its stop."
    # What boils in the shut-off valve takes no cooling away: throttling leaves the enthalpy as it was.
    return f"{text} Each kilogram cools less." if feed.duty.inlet_quality > 0.0 else text
