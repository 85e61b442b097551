"""Once round the circuit with supposed pressures and suction state: what every part answers, and what is left over."""

import functools
import math
from dataclasses import dataclass, replace

from thermo_kit.components.belt_compressor import run_belt_compressor
from thermo_kit.components.compressor import CompressorConditions, solve_compressor
from thermo_kit.components.condenser import AirConditions, solve_condenser
from thermo_kit.components.evaporator import EnteringAir, outlet_near, run_evaporator
from thermo_kit.components.expansion_valve import bulb_pressure, discharge_coefficient, orifice_flow, port_area
from thermo_kit.components.expansion_valve.forces import lift_of
from thermo_kit.components.internal_heat_exchanger import solve_exchanger
from thermo_kit.components.orifice import short_tube_flow
from thermo_kit.components.receiver import pick_up
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.friction import single_phase_friction
from thermo_kit.laws.roots import root_near
from thermo_kit.substances import Refrigerant
from thermo_kit.substances.moist_air import AIR_CONSTANT, humidity_at, relative_humidity_at
from thermo_kit.substances.refrigerant import saturation_table
from thermo_kit.substances.stream import Stream
from thermo_kit.systems.vehicle import branches
from thermo_kit.units import Checks, atmosphere_pressure
from thermo_kit.units.look import percent

CABIN_HUMIDITY = 0.4
"""Relative humidity of cabin air while the system runs: our own choice, no source."""
CONTRACTION = 0.62
"""Jet behind a sharp-edged hole, by area (any hydraulics textbook)."""
_HEAT = 3e4  # J/kg: scale of the heat balances
_DRY_BY = 0.2  # K above the dew point, the least that the scroll model takes
_FULL = 0.9  # share of an accumulator that liquid may fill
_TRACE = 2e-4  # of the full passage: what a sound shut-off valve passes where it is shut; own choice, no source
_STEEP = 5.0  # how much a vapour share counts beside a share of the store


class Flooded(NoSolutionError):
    """So much liquid with the suction gas that no hot gas leaves the compressor."""


@dataclass(frozen=True, slots=True)
class HighSide:
    """What follows from suction state and head pressure alone; flows [kg/s], powers [W], pressures [Pa]."""

    suction: Stream
    share: float
    mass_flow: float
    power: float
    heat_loss: float
    discharge: Stream
    condenser: object
    machine: object
    air_pressure: float


@dataclass(frozen=True, slots=True)
class Round:
    """One round: high side, feed of the evaporator, chiller or None; liquid: Stream at the valve; mass_gap [kg/s]: what
    the leading valve passes above what comes; charge_gap [-]: what is held beyond the charge; opening [-];
    outlet_enthalpy supposed behind the branches [J/kg]; masses by part [kg]; level of the store; wet: vapour (positive)
    or liquid too much at the store; residuals."""

    high: HighSide
    feed: Stream
    chiller: object
    liquid_line: Stream
    liquid: Stream
    mass_gap: float
    charge_gap: float
    opening: float | None
    outlet_enthalpy: float
    masses: dict
    level: float
    wet: float
    residuals: tuple

    @property
    def off(self):
        """How far the round is from closing; mass, charge and energy must close to half of what residuals may leave."""
        flow, heat = self.high.mass_flow, 2.0 * _HEAT * sum(map(abs, (self.residuals[1], *self.residuals[3:4])))
        gaps = self.mass_gap / flow, self.charge_gap, heat * flow / self.high.condenser.heat_rejection
        return max(*(2.0 * abs(gap) for gap in gaps), *map(abs, self.residuals))


class Circuit:
    """A vehicle on a day. The unknowns: z, ln p_c, suction enthalpy above dew by latent heat, exchanged heat
    with an internal heat exchanger, share of the flow through the chiller where both branches are open.

    z ≥ 0 is the logarithm of the suction pressure above the one that is held; below, the pressure stays and the
    compressor's share falls with it, down to its least; further down the pressure falls again.
    """

    def __init__(self, spec, conditions):
        self.spec, self.conditions = spec, conditions
        self.fluid = Refrigerant(spec.refrigerant)
        self.table = saturation_table(self.fluid.name)
        self.atmosphere = atmosphere_pressure(conditions.altitude)
        self.outside = conditions.ambient_temperature
        self.speed = (conditions.compressor_speed or spec.usual_speed) * (1.0 - spec.slip)
        machine = spec.compressor or spec.belt_compressor
        with Checks() as checks:
            checks.within("compressor speed", self.speed, machine.lowest_speed, machine.highest_speed,
                          kind="rotational_speed", advice="what this machine allows, slip taken off")  # fmt: skip
        self.least_share = spec.least_share
        if spec.compressor:
            self.least_share = min(max(spec.least_share, spec.compressor.lowest_speed / self.speed), 1.0)
        self.air = AirConditions(
            temperature=self.outside, pressure=self.atmosphere, fan_speed_share=conditions.fan_speed_share,
            driving_speed=conditions.driving_speed,
        )  # fmt: skip
        self.cabin_air = self._air_to_evaporator()
        core = spec.condenser
        self.high_volume = sum(core.tubes) * core.ports * 0.25 * math.pi * core.port_diameter**2 * core.tube_length
        if spec.receiver:
            self.high_volume += 0.5 * spec.receiver.free_volume
        self.cabin_open, self.chiller_open = branches.open_branches(spec, conditions)
        self.has_exchanger = spec.internal_heat_exchanger is not None
        self.splits = self.cabin_open and self.chiller_open
        self.kept = [0, 1, 2] + [3] * self.has_exchanger + [4] * self.splits
        self.turn = self._electric if spec.compressor else self._belt
        # Kept for the next question: a nudge of the other unknowns leaves the high side as it was.
        self.high_side = functools.lru_cache(maxsize=8)(self._high_side)

    def _air_to_evaporator(self):
        day, p = self.conditions, self.atmosphere
        share = day.recirculated_share if self.spec.recirculation_stuck is None else self.spec.recirculation_stuck
        w = share * humidity_at(day.cabin_temperature, CABIN_HUMIDITY, p)
        w += (1.0 - share) * humidity_at(self.outside, day.relative_humidity, p)
        T = share * day.cabin_temperature + (1.0 - share) * self.outside
        return EnteringAir(
            air_temperature=T, relative_humidity=min(relative_humidity_at(T, w, p), 1.0), air_pressure=p,
            air_flow=self.spec.blower_flow * day.blower_share,
        )  # fmt: skip

    def bounds(self):
        """Return the lowest and highest of each unknown."""
        spec, fluid = self.spec, self.fluid
        lowest = fluid.dew_pressure(236.0)
        warmest = self.cabin_air.air_temperature
        if self.chiller_open:
            warmest = min(warmest, self.conditions.coolant_temperature)
        highest = fluid.dew_pressure(min(warmest - 1.5, 308.15))
        self.coldest_head = self.outside + 0.7
        self.hottest_head = fluid.dew_temperature(0.9495 * fluid.critical_pressure)
        heads = (math.log(fluid.dew_pressure(T)) for T in (self.coldest_head, self.hottest_head))
        below = math.log(self.least_share) + math.log(lowest / spec.hold_pressure)
        ends = (below, math.log(highest / spec.hold_pressure)), (*heads,), (-0.5, 0.6), (-2.0, 4.0), (0.02, 0.98)
        return tuple(zip(*(ends[i] for i in self.kept), strict=True))

    def suction_of(self, z):
        """Return (suction pressure [Pa], share at which the compressor works)."""
        floor = math.log(self.least_share)
        if self.spec.stuck_share is not None:
            return self.spec.hold_pressure * math.exp(z), self.spec.stuck_share
        share = math.exp(min(max(z, floor), 0.0))
        return self.spec.hold_pressure * math.exp(max(z, 0.0) + min(z - floor, 0.0)), share

    def settle_low_side(self, head, s, heat):
        """Return z at which compressor and evaporator agree behind liquid 5 K below a condensing temperature [K].

        A cheap first guess without condenser: each answer costs a compressor and an evaporator.
        """
        spec, fluid = self.spec, self.fluid
        behind = fluid.dew_pressure(head)
        h_liquid = self.table.at(fluid.bubble_pressure(head - 5.0)).liquid_enthalpy

        def spare(z):
            suction, share = self._suction(z, s)
            feed = replace(suction, enthalpy=h_liquid, mass_flow=self.turn(suction, behind, share)[1])
            supposed = suction.enthalpy - heat * _HEAT * self.has_exchanger
            return outlet_near(spec.evaporator, self.cabin_air, feed, supposed)[0] - supposed

        low, high = self.bounds()
        top = high[0] - 0.02
        return root_near(spare, min(0.15, top), lambda off: min(abs(off) / 2e5, 0.3), low[0], top, what="low side",
                         settled=4e3, xtol=5e-3)  # fmt: skip

    def _suction(self, z, s):
        """Return what the compressor draws, and the share at which it works."""
        p, share = self.suction_of(z)
        low = self.table.at(p)
        h = low.vapour_enthalpy + s * (low.vapour_enthalpy - low.liquid_enthalpy)
        return Stream(refrigerant=self.fluid.name, pressure=p, enthalpy=h), share

    def _high_side(self, z, log_head, s):
        """Return compressor and condenser at supposed pressures and suction state."""
        spec, (suction, share), head = self.spec, self._suction(z, s), math.exp(log_head)
        up = self.table.at(head)
        # Dalton: air that gathers in the high side adds its own pressure to that of the refrigerant.
        air_pressure = spec.air_mass * AIR_CONSTANT * up.T / self.high_volume
        machine, flow, power, loss = self.turn(suction, head + air_pressure, share)
        h = suction.enthalpy + (power - loss) / flow
        discharge = replace(suction, pressure=head, enthalpy=h, mass_flow=flow)
        if discharge.enthalpy < self.fluid.at(p=head, x=1.0).h:
            liquid = f"{percent(max(-s, 0.0))} liquid"
            advice = "liquid breaks a compressor: look for a valve stuck open or too little air over the evaporator"
            raise Flooded.about("suction gas", liquid, "floods the compressor, and no hot gas leaves it", advice)
        condenser = solve_condenser(spec.condenser, discharge, self.air)
        if spec.hot_air_return:
            rise = condenser.air_temperature - self.air.temperature
            # One step suffices: air warmer by the returned share, as seen by the same core.
            warmer = min(self.outside + spec.hot_air_return * rise, up.T - 0.6)
            condenser = solve_condenser(spec.condenser, discharge, replace(self.air, temperature=warmer))
        return HighSide(suction, share, flow, power, loss, discharge, condenser, machine, air_pressure)

    def _electric(self, suction, behind, share):
        spec = self.spec
        dry = self.fluid.at(p=suction.pressure, T=self.fluid.dew_temperature(suction.pressure) + _DRY_BY)
        asked = suction.at(enthalpy=max(suction.enthalpy, dry.h))
        run = solve_compressor(
            spec.compressor, asked,
            CompressorConditions(
                discharge_pressure=behind, speed=max(share * self.speed, spec.compressor.lowest_speed),
                supply_voltage=spec.compressor.usual_voltage, ambient_temperature=self.outside,
            ),
        )  # fmt: skip
        flow = run.mass_flow
        if suction.enthalpy < dry.h:
            # The scroll model takes dry gas: of a wet one it draws the same volume, with the same work.
            flow *= suction.state.rho / dry.rho
        return run, flow, run.electric_power, run.heat_loss

    def _belt(self, suction, behind, share):
        machine = self.spec.belt_compressor
        cycles = machine.control == "clutch" and self.spec.stuck_share is None
        run = run_belt_compressor(
            machine, suction, discharge_pressure=behind, speed=self.speed, ambient_temperature=self.outside,
            stroke_share=1.0 if cycles else share,
        )  # fmt: skip
        part = share if cycles else 1.0
        return run, part * run.outlet.mass_flow, part * run.shaft_power, part * run.heat_loss

    def round(self, unknowns):
        """Return everything that follows from the unknowns."""
        spec = self.spec
        z, log_head, s, *more = unknowns
        passed = more[:1] if self.has_exchanger else []
        high = self.high_side(z, log_head, s)
        core, flow = high.condenser, high.mass_flow
        heat = passed[0] * _HEAT if passed else 0.0
        h_out = high.suction.enthalpy - heat
        low = self.table.at(high.suction.pressure)
        suction_drop = self._drop(spec.suction_line, flow, high.suction.state.rho, low.vapour_viscosity)
        p_low = high.suction.pressure + suction_drop
        liquid = core.outlet
        s_liquid = self.table.at(liquid.pressure)
        x = branches.quality(s_liquid, liquid.enthalpy)
        density = liquid.state.rho if x <= 0 else 1.0 / branches.volume(s_liquid, min(x, 1.0))
        line_drop = self._drop(spec.liquid_line, flow, density, s_liquid.liquid_viscosity)
        at_line = liquid.at(pressure=liquid.pressure + high.air_pressure)
        before = at_line.at(pressure=at_line.pressure - line_drop)
        if before.pressure < 1.05 * p_low:
            advice = "look for a kink or a clogged drier"
            raise NoSolutionError.about("liquid line", "eats up the pressure", "before the valve", advice)
        p_evaporator = p_low
        if passed:
            exchanger, taken = self._exchange(before, flow, p_low, h_out)
            lost = (exchanger.liquid_pressure_drop, exchanger.vapour_pressure_drop) if exchanger else (0.0, 0.0)
            p_evaporator += lost[1]
            before = before.at(pressure=before.pressure - lost[0], enthalpy=before.enthalpy - heat)
        if self.fluid.dew_temperature(p_evaporator) > self.cabin_air.air_temperature - 0.7:
            advice = "warmer cabin air or less flow"
            raise NoSolutionError.about("evaporator", "would boil warmer than its air", "", advice)
        to_chiller = more[-1] * flow if self.splits else self._past_the_shut_valve(before, p_evaporator, flow)
        if not 1e-6 < flow - to_chiller < flow + 1e-9:
            advice = "renew it, or more load"
            raise NoSolutionError.about("shut-off valve", "leaks all that the compressor draws", "", advice)
        feed = replace(before.at(pressure=p_evaporator), mass_flow=flow - to_chiller)
        chiller, h_cabin, offs = None, h_out, []
        if to_chiller > 0.0:
            evaporator = run_evaporator(spec.evaporator, self.cabin_air, feed)
            chiller = branches.run_branch(spec.chiller, self.conditions, replace(feed, mass_flow=to_chiller))
            h_cabin, dry = evaporator.outlet.enthalpy, evaporator.superheated_share
            found = h_cabin + (chiller.outlet.enthalpy - h_cabin) * to_chiller / flow
        else:
            found, dry = outlet_near(spec.evaporator, self.cabin_air, feed, h_out)
        if self.cabin_open:
            passes, opening, off = self._valve(before, p_evaporator, h_cabin, feed.mass_flow)
            held = spec.electronic_valve is not None and spec.electronic_valve.stuck_at is None
            gap, offs = 0.0 if held else passes - feed.mass_flow, [off]
        if self.chiller_open:
            through = self._through_one_square_metre(before, p_evaporator)
            valve, h_chiller = spec.chiller.valve, chiller.outlet.enthalpy
            passes, place, off = self._controlled(valve, through, p_evaporator, h_chiller, to_chiller)
            offs.append(off)
            if not self.cabin_open:
                gap, opening = 0.0 if valve.stuck_at is None else passes - to_chiller, place
        masses = self._masses(high, h_cabin, dry, chiller, feed, p_evaporator, density)
        level, wet, masses[spec.store] = self._store(high, masses, low, h_out, p_evaporator)
        over = sum(masses.values()) / spec.charge - 1.0
        residuals = [offs[0], (found - h_out) / _HEAT, branches.between(level, _STEEP * wet)]
        if passed:
            residuals.append(taken / _HEAT - passed[0])
        return Round(high, feed, chiller, at_line, before, gap, over, opening, h_out, masses, level, wet,
                     (*residuals, *offs[1:]))  # fmt: skip

    def _past_the_shut_valve(self, before, p_low, flow):
        """Return what goes to the chiller where one branch alone is open [kg/s]: the other passes what leaks."""
        branch = self.spec.chiller
        if branch is None or (self.cabin_open and branch.shut_off.leak_share == 0.0):
            return 0.0
        through = self._through_one_square_metre(before, p_low)
        if self.cabin_open:
            return branch.shut_off.leak_share * branch.valve.full_area * through
        valve = self.spec.expansion_valve
        passage = port_area(valve, valve.full_lift) if valve else self.spec.electronic_valve.full_area
        return flow - max(branch.cabin_shut_off.leak_share, _TRACE) * passage * through

    @staticmethod
    def _drop(line, flow, density, viscosity):
        area = 0.25 * math.pi * line.diameter**2
        flux = flow / area
        loss = 0.0
        if line.open_share < 1.0:
            # Borda-Carnot behind the jet of a hole that leaves a share of the section open.
            loss = (1.0 / (CONTRACTION * line.open_share) - 1.0) ** 2 - (1.0 / CONTRACTION - 1.0) ** 2
        friction = single_phase_friction(mass_flux=flux, diameter=line.diameter, density=density, viscosity=viscosity)
        return friction * line.length + loss * 0.5 * flux**2 / density

    def _exchange(self, before, flow, p_low, h_out):
        """Both streams at least dry or liquid, as the exchanger's model wants them: else this is the lower side."""
        up, low = self.table.at(before.pressure), self.table.at(p_low)
        fluid = self.fluid
        h_liquid = min(before.enthalpy, fluid.at(p=before.pressure, x=0.0).h - 50.0)
        h_vapour = max(h_out, fluid.at(p=p_low, x=1.0).h + 50.0)
        liquid = Stream(refrigerant=fluid.name, pressure=before.pressure, enthalpy=h_liquid, mass_flow=flow)
        vapour = Stream(refrigerant=fluid.name, pressure=p_low, enthalpy=h_vapour, mass_flow=flow)
        if up.T <= low.T + 1.0 or liquid.state.T <= vapour.state.T + 0.2:
            return None, 0.0
        exchanger = solve_exchanger(self.spec.internal_heat_exchanger, liquid, vapour)
        return exchanger, exchanger.heat_flow / flow

    def _valve(self, before, p_low, h_out, flow):
        """Return (flow that passes, opening, residual) of whatever feeds the evaporator."""
        spec = self.spec
        if spec.orifice:
            passes = short_tube_flow(spec.orifice, before, outlet_pressure=p_low)
            return passes, None, (passes - flow) / max(passes, flow)
        through = self._through_one_square_metre(before, p_low)
        low = self.table.at(p_low)
        if spec.electronic_valve:
            return self._controlled(spec.electronic_valve, through, p_low, h_out, flow)
        valve, fault = spec.expansion_valve, spec.valve_fault
        if fault.stuck_at is not None:
            passes = through * port_area(valve, max(fault.stuck_at, 1e-3) * valve.full_lift)
            return passes, fault.stuck_at, (passes - flow) / max(passes, flow)
        above = self.atmosphere
        if not fault.bulb_lost:
            # Below dew the supposed superheat counts on downwards: a sound valve is long shut there, and a search needs
            # to feel how far off it is. A loose bulb does leave a wet line, so that it feels the dew point itself.
            superheat = self._superheat(p_low, h_out)
            T = low.T + (superheat if fault.bulb_loose_share == 0.0 else max(superheat, 0.0))
            feels = T + fault.bulb_loose_share * (self.outside - T)
            above = bulb_pressure(valve, refrigerant=self.fluid.name, bulb_temperature=feels)
        needed = branches.lift_for(valve, flow / through)
        free = (above - p_low) * valve.diaphragm_area - valve.spring_preload
        # Only the stop above counts: a valve that rests on its seat passes nothing, and nothing steady is left.
        off = max(needed - free / (valve.spring_rate * valve.full_lift), needed - 1.0)
        lift = lift_of(valve, above=above, below=p_low)
        is_held = needed >= 1.0 or free <= 0.0
        passes = through * port_area(valve, lift) if is_held else flow * (1.0 - off / needed)
        return passes, min(needed, 1.0), off

    def _controlled(self, valve, through, p_low, h_out, flow):
        """As `_valve`, of a stepper valve whose controller holds the superheat."""
        if valve.stuck_at is not None:
            passes = through * valve.full_area * max(valve.stuck_at, 1e-3)
            return passes, valve.stuck_at, (passes - flow) / max(passes, flow)
        opening = flow / (through * valve.full_area)
        level = (opening - valve.least_opening) / (1.0 - valve.least_opening)
        superheat = self._superheat(p_low, h_out) + valve.sensor_error
        return flow, opening, branches.between(level, (valve.superheat_target - superheat) / 10.0)

    def _through_one_square_metre(self, before, p_low):
        up, low = self.table.at(before.pressure), self.table.at(p_low)
        x, y = (min(max(branches.quality(at, before.enthalpy), 0.0), 1.0) for at in (up, low))
        share = discharge_coefficient(inlet_density=up.liquid_density, outlet_volume=branches.volume(low, y))
        drop = before.pressure - p_low
        return orifice_flow(area=1.0, density=1.0 / branches.volume(up, x), pressure_drop=drop, coefficient=share)

    def _superheat(self, p, h):
        """Return the superheat; of wet vapour, negative by the heat that is lacking [K]."""
        low = self.table.at(p)
        if h > low.vapour_enthalpy + 100.0:
            return self.fluid.at(p=p, h=h).T - low.T
        return (h - low.vapour_enthalpy) / 950.0

    def _masses(self, high, h_cabin, dry, chiller, feed, p_low, line_density):
        spec = self.spec
        bore = 0.25 * math.pi
        masses = {
            "condenser": high.condenser.charge,
            "liquid line": bore * spec.liquid_line.diameter**2 * spec.liquid_line.length * line_density,
            "suction line": bore * spec.suction_line.diameter**2 * spec.suction_line.length * high.suction.state.rho,
        }
        if spec.internal_heat_exchanger:
            tube = spec.internal_heat_exchanger
            gap, inner = tube.gap_area * tube.length, tube.tube_area * tube.length
            outer_liquid = tube.vapour_path == "inner tube"
            liquid_room, vapour_room = (gap, inner) if outer_liquid else (inner, gap)
            masses["internal heat exchanger"] = liquid_room * line_density + vapour_room * high.suction.state.rho
        at = self.table.at(p_low)
        masses["evaporator"] = branches.boiling_mass(spec.evaporator_volume, at, feed.enthalpy, h_cabin, 1.0 - dry)
        if spec.chiller:
            masses["chiller"] = branches.plate_mass(spec.chiller.stack, chiller, at, feed.enthalpy)
        return masses

    def _store(self, high, masses, low, h_out, p_low):
        """Return (level 0 to 1 if charge closes, vapour share too much, mass) of the store."""
        spec, held = self.spec, sum(masses.values())
        if spec.receiver:
            feed = high.condenser.receiver
            at = self.table.at(feed.pressure)
            vessel = pick_up(vessel=spec.receiver, refrigerant=self.fluid.name, condensing_temperature=at.T,
                             mass_flow=min(max(high.mass_flow, 1e-3), 0.4))  # fmt: skip
            least, most = min(vessel.least_inventory(), 0.5 * sum(vessel.masses())), vessel.masses()[1]
            wet = feed.enthalpy_above_liquid / (at.vapour_enthalpy - at.liquid_enthalpy)
            if wet < 0.0:
                # A full vessel holds liquid as cold as it comes.
                cold = Stream(refrigerant=self.fluid.name, pressure=feed.pressure,
                              enthalpy=at.liquid_enthalpy + feed.enthalpy_above_liquid)  # fmt: skip
                most *= cold.state.rho / at.liquid_density
        else:
            store, latent = spec.accumulator, low.vapour_enthalpy - low.liquid_enthalpy
            least = store.volume * low.vapour_density
            most = least + _FULL * store.volume * (low.liquid_density - low.vapour_density)
            at = self.table.at(p_low)
            wet = (h_out - at.vapour_enthalpy) / latent + store.bleed_share
        level = (spec.charge - held - least) / (most - least)
        return level, wet, least + (most - least) * min(max(level, 0.0), 1.0)
