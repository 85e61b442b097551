"""Bring all parts of a vehicle together: the pressures and the suction state at which every balance closes."""

import math
from dataclasses import replace

import numpy as np

from thermo_kit.components.evaporator import run_evaporator
from thermo_kit.errors import NoSolutionError, OutOfRangeError, ThermoKitError
from thermo_kit.laws.closure import closed
from thermo_kit.substances.moist_air import humidity_at, moist_enthalpy, relative_humidity_at
from thermo_kit.systems.vehicle.branches import quality
from thermo_kit.systems.vehicle.circuit import Circuit, Flooded
from thermo_kit.systems.vehicle.faults import apply_faults
from thermo_kit.systems.vehicle.result import VehicleResult
from thermo_kit.units import Amount, Said

SETTLED = 1e-6
_SCALE = (0.25, 0.12, 0.12, 0.4, 0.15)
_NUDGE = 1e-4
_ACROSS = 0.6  # share of a step that must lie across the next one for both to tell of the slopes
_MOST_STEPS = 26
_NOT_HELD = 0.45  # of a change of load, what the suction pressure takes up where nothing holds it
_LEAST_LEFT = 0.2  # of the effect of a near answer, what a first guess leaves of it
_BLOWER_STEPS = (1.0, 0.5, 0.3, 0.22)
_LATENT = 0.2  # a unit of the exchanger's heat in latent heats
# Suction saturation [K], condensing above the outside air [K], superheat at the evaporator by latent heat (an
# accumulator keeps it near dew at first), heat of the exchanger: where a search begins, and begins anew.
_STARTS = (
    (276.0, 13.0, 0.035, 0.35), (281.0, 20.0, 0.06, 0.35), (268.0, 9.0, 0.15, 0.5), (284.0, 26.0, -0.02, 0.2),
    (262.0, 6.0, 0.2, 0.5), (273.0, 32.0, 0.02, 0.3), (288.0, 12.0, 0.1, 0.4),
)  # fmt: skip


def solve_vehicle(spec, conditions, faults=(), *, near=None):
    """Return everything that gauges, clamps and sensors of a vehicle show in steady running.

    Parameters
    ----------
    spec : VehicleSpec. The circuit and its charge.
    conditions : Conditions. The day and how the vehicle is run.
    faults : tuple of Fault. What is wrong with it, see `thermo_kit.fleet.fault`; one alone may be given bare.
    near : VehicleResult or None. The answer to a question much like this one: the search begins there.

    Returns: VehicleResult. Readings, powers, charge by part, closures, notes. Raises NoSolutionError if a pressure
        switch would stop the compressor, the condenser cannot condense so much, or no state closes; the message names
        the limit; OutOfRangeError if the vehicle has no charge, or a fault or condition does not suit it.

    Notes: Steady running; a cycling clutch is a mean over its cycles at the pressure that it holds. Evaporator without
        pressure drop, lines without heat from outside, no oil. Air in the circuit adds its partial pressure on the high
        side and does not hamper the film: the lower side of its harm. Charge in oil is left out; published predictions
        of charge scatter by 20 %.

    References: Balances of mass, energy and charge over the components named at each part; closure by charge instead of
        a given subcooling: Harms, Groll & Braun, HVAC&R Research 9 (2003) (idea, from memory). Damped Broyden steps:
        Dennis & Schnabel, Numerical Methods for Unconstrained Optimization (1983), chapter 8.

    Examples
    --------
    >>> from thermo_kit.fleet import vehicle
    >>> from thermo_kit.systems import Conditions
    >>> van = solve_vehicle(vehicle("parcel_van"), Conditions())
    >>> van.charge_closure < 1e-6 and van.energy_closure < 1e-6 and van.mass_closure < 1e-6
    True
    """
    faults = tuple(faults) if isinstance(faults, tuple | list) else (faults,)
    spec, conditions = apply_faults(spec, conditions, faults)
    if spec.charge < 0.02:
        advice = "an empty circuit is not run: find the leak, evacuate and fill first"
        raise OutOfRangeError.about("charge of the system", Amount(spec.charge, "mass"), "is next to nothing", advice)
    circuit = Circuit(spec, conditions)
    search = _Search(circuit)
    found = search.warm(near) if near is not None else None
    try:
        found = found or search.cold()
    except NoSolutionError:
        found = _by_less_and_less_air(search)
        if found is None:
            raise
    return _told(circuit, found, faults)


def _by_less_and_less_air(search):
    """Return what a search finds that begins at full blower and goes down to little air, where a cold one gets lost."""
    spec, day = search.circuit.spec, search.circuit.conditions
    if day.blower_share >= _BLOWER_STEPS[-2]:
        return None
    near = None
    try:
        for share in (one for one in _BLOWER_STEPS if one > day.blower_share):
            near = solve_vehicle(spec, replace(day, blower_share=share), near=near)
    except NoSolutionError:
        return None
    return search.warm(near)


class _Search:
    """Broyden's method with a step limit and step halving; it survives states that a part refuses, scipy's do not.

    A round that is refused counts as infinitely far off, so the step is halved; scipy's hybr would stop there. The
    unknowns are counted in `_SCALE`: no step is longer than 1, and slopes change least where an unknown moves least.
    """

    def __init__(self, circuit):
        self.circuit = circuit
        self.scale = np.array(_SCALE)[circuit.kept]
        low, high = circuit.bounds()
        self.low, self.high = low / self.scale, high / self.scale
        self.best, self.refusal = (math.inf, None, None), None
        self.flooded = None

    def off(self, x):
        """Return (residuals, round), or (None, None) where a part refuses."""
        try:
            done = self.circuit.round((x * self.scale).tolist())
        except ThermoKitError as error:
            self.refusal = error
            self.flooded = error if isinstance(error, Flooded) else self.flooded
            return None, None
        residuals = np.array(done.residuals)
        size = float(np.abs(residuals).max())
        if size < self.best[0]:
            self.best = (size, x * self.scale, done)
        return residuals, done

    def slopes(self, x, here):
        columns = []
        for i in range(len(x)):
            for nudge in (_NUDGE, -_NUDGE):
                moved = x.copy()
                moved[i] += nudge
                there, _ = self.off(moved)
                if there is not None:
                    columns.append((there - here) / nudge)
                    break
            else:
                return None
        return np.array(columns).T

    def run(self, x, slopes=None):
        """Return (unknowns, round, slopes) where all is settled, None where the search is stuck."""
        x = np.clip(x, self.low, self.high)
        here, done = self.off(x)
        if here is None:
            return None
        fresh, before = slopes is None, None
        for _ in range(_MOST_STEPS):
            if done.off < SETTLED:
                return x * self.scale, done, slopes
            if slopes is None:
                slopes, fresh, before = self.slopes(x, here), True, None
                if slopes is None:
                    return None
            try:
                step = np.linalg.solve(slopes, -here)
            except np.linalg.LinAlgError:
                step = np.linalg.lstsq(slopes + 1e-6 * np.eye(len(x)), -here, rcond=None)[0]
            step /= max(1.0, float(np.abs(step).max()))
            for share in (1.0, 0.5, 0.2, 0.05) if fresh else (1.0, 0.4):
                taken = np.clip(x + share * step, self.low, self.high)
                there, round_there = self.off(taken)
                if there is not None and np.linalg.norm(there) < (1.0 - 0.1 * share) * np.linalg.norm(here):
                    break
            else:
                if fresh:
                    return None
                slopes = None
                continue
            moved, changed = taken - x, there - here
            quick = np.abs(there).max() < 0.35 * np.abs(here).max()
            if moved.any():
                slopes = self._learnt(slopes, moved, changed, before)
                before = moved, changed
            x, here, done, fresh = taken, there, round_there, False
            if not quick and np.abs(here).max() > 1e-3 and share < 1.0:
                slopes = None
        return None

    def _learnt(self, slopes, moved, changed, before):
        """Broyden's change of the slopes by the last step, and by what the step before it had across."""
        slopes = slopes + np.outer(changed - slopes @ moved, moved) / (moved @ moved)
        if before is not None:
            along = (before[0] @ moved) / (moved @ moved)
            across, told = before[0] - along * moved, before[1] - along * changed
            if across @ across > _ACROSS**2 * (before[0] @ before[0]):
                slopes = slopes + np.outer(told - slopes @ across, across) / (across @ across)
        return slopes

    def warm(self, near):
        if len(near.unknowns) != len(self.low) or near.spec.refrigerant != self.circuit.spec.refrigerant:
            return None
        return self.run(self._moved(near) / self.scale, np.array(near.slopes) if near.slopes else None)

    def _moved(self, near):
        """The unknowns of a near answer, moved by what another day asks: heads over their air, flows with their load.

        Rules of proportion: the load goes with the enthalpy between entering air and air saturated on a coil as cold
        as before, the head above its air and the heat of the exchanger with what drives them.
        """
        circuit, x, coil = self.circuit, np.array(near.unknowns), near.parts["evaporator"]
        fluid, core, T_low = circuit.fluid, near.parts["condenser"], near.evaporating_temperature
        air, before = circuit.cabin_air, coil.inlet
        saturated = moist_enthalpy(T_low, humidity_at(T_low, 1.0, air.air_pressure))
        w = humidity_at(air.air_temperature, air.relative_humidity, air.air_pressure)
        entering = moist_enthalpy(air.air_temperature, w)
        load = max(entering - saturated, 1e3) / max(before.h - saturated, 1e3)
        # Where the low side is not held it rises with the flow, which takes away from the load.
        share = 1.0 if x[0] < 0.0 else _NOT_HELD
        over = (core.condensing_temperature - core.air.temperature) * (1.0 + share * (load - 1.0))
        head = min(max(circuit.outside + over, circuit.coldest_head), circuit.hottest_head)
        p_head, warmer = fluid.dew_pressure(head), head - core.condensing_temperature
        dearer = circuit.table.at(p_head).liquid_enthalpy - circuit.table.at(core.inlet.pressure).liquid_enthalpy
        effect = coil.cooling_capacity / coil.feed.mass_flow
        # A far hotter head can use up more than the effect of before: the search then begins at a part of it.
        x[0] += share * math.log(load * effect / max(effect - dearer, _LEAST_LEFT * effect))
        x[1] += math.log(p_head / core.inlet.pressure)
        if circuit.has_exchanger:
            more = x[3] * warmer / (core.condensing_temperature - T_low)
            x[3] += more
            x[2] += _LATENT * more
        return x

    def cold(self):
        circuit, fluid = self.circuit, self.circuit.fluid
        for number, (boiling, over, s, heat) in enumerate(_STARTS):
            if number == 0 and circuit.spec.accumulator:
                s = -circuit.spec.accumulator.bleed_share
            if circuit.has_exchanger:
                s += _LATENT * heat
            head = min(max(circuit.outside + over, circuit.coldest_head + 2.0), circuit.hottest_head - 2.0)
            try:
                if circuit.chiller_open:
                    raise NoSolutionError
                z = circuit.settle_low_side(head, max(s, 0.02), heat)
            except ThermoKitError:
                p = fluid.dew_pressure(min(boiling, circuit.cabin_air.air_temperature - 6.0))
                z = max(math.log(p / circuit.spec.hold_pressure), -0.3)
            start = np.array([z, math.log(fluid.dew_pressure(head)), s, heat, 0.5])[circuit.kept]
            _, done = self.off(start / self.scale)
            found = self.run((start if done is None else self._nearer(start, done, head)) / self.scale)
            if found is not None:
                return found
        raise self._refused()

    def _nearer(self, x, done, head):
        """One step of substitution: the head at which the core's conductance takes the heat; the exchanger's heat."""
        circuit, core, x = self.circuit, done.high.condenser, x.copy()
        at = circuit.table.at(core.outlet.pressure)
        above = (
            core.receiver.enthalpy_above_liquid if core.receiver else core.outlet.enthalpy - at.liquid_enthalpy + 8e3
        )
        asked = core.inlet.enthalpy - at.liquid_enthalpy
        # Behind the last vapour the core gives off little: liquid that comes too cold tells of much idle surface.
        above *= 3.0 if above < 0.0 else 1.0
        over = (head - circuit.outside) * min(max(asked / max(asked - above, 1.0), 0.5), 1.7)
        x[1] = math.log(circuit.fluid.dew_pressure(min(circuit.outside + over, circuit.hottest_head)))
        if circuit.has_exchanger:
            x[3] += done.residuals[3]
            x[2] += _LATENT * done.residuals[3]
        return x

    def _refused(self):
        """Name the limit at which the search ended."""
        circuit, (_, x, done) = self.circuit, self.best
        if x is None:
            return self.refusal if isinstance(self.refusal, NoSolutionError) else _no_state("where every part can work")
        p, share = circuit.suction_of(float(x[0]))
        head = circuit.fluid.dew_temperature(math.exp(float(x[1])))
        stopped = _stopped(circuit.spec, p, math.exp(float(x[1])), (1.02, 0.97))
        if stopped:
            return stopped
        if self.flooded and float(x[2]) < 0.0:
            return self.flooded
        if share <= 1.001 * circuit.least_share < 0.9:
            advice = "the low-pressure switch would stop it: look for a restriction, or too little refrigerant"
            limit = "even at its least share"
            return NoSolutionError.about("compressor", "draws more than the valve passes", limit, advice)
        if head > circuit.hottest_head - 4.0:
            advice = "less load, more air through the condenser, cooler air"
            limit = "comes near the critical point"
            return NoSolutionError.about("condensing temperature", Amount(head, "temperature"), limit, advice)
        if circuit.spec.receiver and done.level > 1.0 and abs(done.residuals[2]) > 0.02:
            limit = "is more than receiver and condenser can take with this air through them"
            advice = "the head would climb to its switch: check charge, fan and dirt"
            return NoSolutionError.about("charge of the system", Amount(circuit.spec.charge, "mass"), limit, advice)
        if isinstance(self.refusal, NoSolutionError):
            return self.refusal
        open_one = max(range(len(done.residuals)), key=lambda i: abs(done.residuals[i]))
        told = (
            "the valve passes more or less than the compressor can draw", "the evaporator cannot boil what comes",
            "the charge does not fit", "the internal heat exchanger does not settle",
            "the chiller's valve finds no opening",
        )[circuit.kept[open_one]]  # fmt: skip
        return _no_state(Said(f"near {{}} suction pressure, {told}", Amount(p, "pressure")))


def _no_state(where):
    advice = "move the inputs away from the edge of their range"
    return NoSolutionError.about("vehicle", "finds no steady state", where, advice)


def _stopped(spec, low, high, near=(1.0, 1.0)):
    """Return the error of the pressure switch that would stop the compressor, or None; low, high: pressures [Pa]."""
    if low < near[0] * spec.low_switch:
        limit = Said("is below the low-pressure switch at {}", Amount(spec.low_switch, "pressure"))
        advice = "the switch keeps the compressor off: too little refrigerant comes to it; check charge and valve"
        return NoSolutionError.about("low side", Amount(low, "pressure"), limit, advice)
    if high > near[1] * spec.high_switch:
        limit = Said("comes up to the high-pressure switch at {} or passes it", Amount(spec.high_switch, "pressure"))
        advice = "the switch stops the compressor: check condenser air, charge and for air in the circuit"
        return NoSolutionError.about("high side", Amount(high, "pressure"), limit, advice)
    return None


def _told(circuit, found, faults):
    x, done, slopes = found
    spec, day, high, fluid, chiller = circuit.spec, circuit.conditions, done.high, circuit.fluid, done.chiller
    core, coil = high.condenser, run_evaporator(spec.evaporator, circuit.cabin_air, done.feed)
    p_suction, p_discharge = high.suction.pressure, high.discharge.pressure + high.air_pressure
    stopped = _stopped(spec, p_suction, p_discharge)
    if stopped:
        raise stopped
    flow, end = high.mass_flow, coil.outlet
    taken, h_mixed = coil.cooling_capacity, end.enthalpy
    if chiller:
        taken += chiller.cooling_capacity
        h_mixed += (chiller.outlet.enthalpy - h_mixed) * chiller.mass_flow / flow
    # Heat that the exchanger passes leaves one side and enters the other; what it is out of balance shows here.
    lost = flow * (done.outlet_enthalpy - h_mixed)
    exchanged = done.residuals[3] * 3e4 * flow if circuit.has_exchanger else 0.0
    gap = abs(high.power - high.heat_loss + taken - core.heat_rejection + lost) + abs(lost) + abs(exchanged)
    mass, energy = done.mass_gap / flow, gap / core.heat_rejection
    closed(mass_of_the_vehicle=mass, energy_of_the_vehicle=energy, charge_of_the_vehicle=done.charge_gap)
    outlet_quality = min(quality(circuit.table.at(end.pressure), end.enthalpy), 1.0)
    dew, T_coil = fluid.dew_temperature(end.pressure), end.state.T
    T_suction, T_liquid = high.suction.state.T, core.outlet.state.T
    vent = (1.0 - spec.blend_leak) * coil.vent.T + spec.blend_leak * spec.heater_temperature
    current = high.power / spec.compressor.usual_voltage if spec.compressor else None
    own = dict(
        suction_pressure=p_suction, discharge_pressure=p_discharge, suction_temperature=T_suction,
        discharge_temperature=high.discharge.state.T, liquid_temperature=T_liquid, vent_temperature=vent,
        running_share=high.share, supply_current=current,
    )  # fmt: skip
    readings = own | dict(
        condenser_inlet_temperature=high.discharge.state.T, evaporator_outlet_temperature=T_coil,
        valve_temperature=done.liquid.state.T, condenser_air_temperature=core.air_temperature,
        return_air_temperature=circuit.cabin_air.air_temperature, air_flow=coil.air_flow,
        condenser_air_flow=core.air_side.volume_flow, pass_temperature=core.passes[0].temperature,
    )  # fmt: skip
    scan = dict(
        high_side_sensor=p_discharge + spec.high_sensor_error, low_side_sensor=p_suction + spec.low_sensor_error,
        vent_sensor=vent + spec.vent_sensor_error, compressor_share=high.share,
    )  # fmt: skip
    if current is None:
        del readings["supply_current"]
    if spec.chiller:
        # A line without flow takes the temperature of the air around it: our own assumption.
        readings["chiller_outlet_temperature"] = chiller.outlet.state.T if chiller else day.ambient_temperature
        scan["coolant_temperature"] = chiller.coolant_outlet_temperature if chiller else day.coolant_temperature
    if done.opening is not None and spec.electronic_valve:
        scan["valve_opening"] = done.opening
        scan["superheat_sensor"] = max(T_coil - dew, 0.0) + spec.electronic_valve.sensor_error
    return VehicleResult(
        **own, spec=spec, conditions=day, faults=faults, evaporating_temperature=dew,
        condensing_temperature=fluid.dew_temperature(p_discharge),
        superheat=max(T_coil - dew, 0.0) if outlet_quality >= 1.0 else 0.0, outlet_quality=outlet_quality,
        suction_superheat=max(T_suction - fluid.dew_temperature(p_suction), 0.0),
        subcooling=max(fluid.bubble_temperature(done.liquid_line.pressure) - T_liquid, 0.0),
        liquid_quality=core.outlet_quality or 0.0, mass_flow=flow, cooling_capacity=coil.cooling_capacity,
        chiller_capacity=taken - coil.cooling_capacity, compressor_power=high.power,
        vent_humidity=min(relative_humidity_at(vent, coil.vent.humidity_ratio, circuit.atmosphere), 1.0),
        opening=done.opening, fill=_fill(done), charge=done.masses, readings=readings, scan=scan,
        mass_closure=abs(mass), energy_closure=energy, charge_closure=abs(done.charge_gap),
        heat_rejection=core.heat_rejection, evaporating_pressure=end.pressure, condensing_pressure=p_discharge,
        notes=tuple(_notes(circuit, done, coil)),
        parts={"condenser": core, "evaporator": coil, "chiller": chiller, "machine": high.machine},
        open_branches=(circuit.cabin_open, circuit.chiller_open),
        unknowns=tuple(x.tolist()), slopes=tuple(map(tuple, slopes.tolist())) if slopes is not None else (),
    )  # fmt: skip


def _fill(done):
    """One coordinate from vapour at the pick-up (below 0) over the level to a full store (above 1)."""
    if 1e-5 < done.level < 1.0 - 1e-5:
        return done.level
    return -max(done.wet, 0.0) if done.level < 0.5 else 1.0 + max(-done.wet, 0.0)


def _notes(circuit, done, coil):
    spec = circuit.spec
    if done.level <= 0.0 and spec.receiver:
        yield "The receiver runs out of liquid: bubbles go up the pick-up pipe."
    if done.level >= 1.0:
        yield (
            "The receiver is full: liquid backs up in the condenser." if spec.receiver
            else "The accumulator is full: liquid goes on to the compressor."
        )  # fmt: skip
    if coil.superheat is None and spec.receiver:
        yield "Liquid leaves the evaporator and runs towards the compressor."
    if done.high.share < 0.999:
        yield {
            "electric": "The compressor slows down to hold the low side.",
            "clutch": "The clutch cycles; readings are means over its cycles.",
            "displacement": "The compressor works with part of its stroke.",
        }[spec.drive]
    hot = done.high.discharge.state.T
    if spec.compressor and hot > spec.compressor.discharge_temperature_limit:
        yield "The hot gas is beyond the limit: oil and winding insulation age fast."
    if done.chiller and not circuit.chiller_open:
        yield "The shut-off valve of the chiller leaks: refrigerant boils there that the cabin lacks."
    if done.chiller and done.chiller.freeze_margin < 0.0:
        yield "The coldest plate of the chiller lies below the freezing point of its coolant."
    if coil.frost:
        yield "The coldest fins lie below freezing and would ice up."
    yield (
        "Steady state of invented parts; correlations scatter by 15 to 30 per cent, charge predictions by 20 per cent."
    )
