"""Valve, evaporator and compressor brought together: the low-side pressure at which all three agree."""

from thermo_kit.components.expansion_valve.bulb import bulb_pressure
from thermo_kit.components.expansion_valve.evaporator import Coil, inlet_of
from thermo_kit.components.expansion_valve.flow import discharge_coefficient, in_series, orifice_flow, port_area
from thermo_kit.components.expansion_valve.forces import force_balance, lift_of
from thermo_kit.components.expansion_valve.result import VERDICTS, ValveResult, verdict_of
from thermo_kit.components.expansion_valve.spec import ShutOffSpec, ValveFault
from thermo_kit.errors import NoSolutionError, Problem
from thermo_kit.laws.roots import root
from thermo_kit.substances import Refrigerant

_LEAST_DRIVE = 0.5


def solve_valve(spec, duty, *, fault=None, shut_off=None):
    """Return the readings that a valve, its evaporator and the compressor settle to.

    Parameters
    ----------
    spec : ValveSpec
        The expansion valve.
    duty : EvaporatorDuty
        What it is fed with, what it feeds, how hard the compressor draws.
    fault : ValveFault, optional
        What is wrong with it.
    shut_off : ShutOffSpec, optional
        The shut-off valve in front of it; open and wide by default.

    Returns
    -------
    ValveResult
        Low-side pressure, superheat, flow, cooling, forces, verdict, closures.

    Raises
    ------
    NoSolutionError
        If the valve passes more than the compressor can draw even when hardly anything boils.

    Notes
    -----
    The evaporator is lumped: one air temperature, one conductance where it boils, a share of it where it is dry. The
    pressure drop is given and does not follow the flow. The compressor draws a fixed volume each second. The high side
    stays where it is told. Where the low side would fall below the cut-out, the compressor is taken to run a share of
    the time at that pressure. A shut-off valve that is open stands in series with the expansion valve. Pressures that
    swing (hunting) are not computed.

    References
    ----------
    Flow: Wile 1935, see `discharge_coefficient`. Evaporator: heat exchanger with one constant temperature, Incropera &
    DeWitt, chapter on heat exchangers. Balances of mass, force and heat.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import van_duty, van_valve
    >>> solve_valve(van_valve(), van_duty()).verdict
    'in balance'
    """
    fault, shut_off = fault or ValveFault(), shut_off or ShutOffSpec()
    fluid, inlet = Refrigerant(duty.refrigerant), inlet_of(duty)
    feed = _Feed(spec, duty, fault, shut_off, inlet)

    guess = [None]

    def surplus(boiling):
        draw = Coil(duty, inlet, boiling, guess[0]).draw()
        guess[0] = draw.outlet_temperature - boiling if draw.quality == 1.0 else 0.5
        return feed.flow(draw.pressure, draw.outlet_temperature, draw.behind_volume) - draw.mass_flow

    low = fluid.dew_temperature(max(duty.cut_out_pressure, fluid.lowest_pressure))
    high = min(duty.air_temperature, inlet.temperature) - _LEAST_DRIVE
    at_low = surplus(low)
    pulled_down = at_low <= 0.0
    if pulled_down:
        coil = Coil(duty, inlet, low)
        wanted = coil.draw().mass_flow
        volume = coil.behind_volume
        draw = coil.dry(lambda state: feed.flow(coil.pressure, state.T, volume))
        running = draw.mass_flow / wanted
    else:
        at_high = surplus(high)
        if at_high >= 0.0:
            raise NoSolutionError(
                Problem(
                    "expansion valve",
                    "passes more than the compressor draws",
                    "even when hardly anything boils",
                    "take a smaller port, or let the compressor draw more",
                )
            )
        boiling = root(surplus, low, high, what="boiling temperature", settled=1e-9)
        draw, running = Coil(duty, inlet, boiling, guess[0]).draw(), 1.0
    return _told(feed, draw, running, pulled_down)


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
    superheat = draw.outlet_temperature - draw.boiling
    verdict = verdict_of(superheat=superheat, quality=draw.quality, pulled_down=pulled_down)
    heat = draw.mass_flow * (draw.outlet_enthalpy - inlet.enthalpy)
    scale = max(draw.mass_flow, 1e-9)
    return ValveResult(
        spec=spec,
        duty=duty,
        fault=feed.fault,
        shut_off=feed.shut_off,
        balance=balance,
        evaporating_pressure=draw.pressure,
        evaporating_temperature=draw.boiling,
        superheat=superheat,
        outlet_temperature=draw.outlet_temperature,
        outlet_quality=draw.quality,
        mass_flow=draw.mass_flow,
        running_share=running,
        cooling_capacity=heat,
        boiling_share=draw.boiling_share,
        valve_pressure=before,
        flashes_before_valve=flashes,
        discharge_coefficient=discharge_coefficient(
            inlet_density=inlet.liquid_density, outlet_volume=draw.behind_volume
        ),
        verdict=verdict,
        verdict_words=VERDICTS[verdict],
        mass_closure=abs(passed - draw.mass_flow) / scale,
        energy_closure=abs(draw.wall_heat - heat) / max(abs(heat), 1.0),
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
