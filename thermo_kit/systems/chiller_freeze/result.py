"""What the freeze transient gives back: from the steps of the integrator to histories, balances, outcome."""

from dataclasses import dataclass

import numpy as np

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.systems.chiller_freeze.spec import FreezeSpec

NO_ICE, SLUSH, BLOCKED, BURST = "no ice", "slush", "blocked", "burst"
OUTCOMES = (NO_ICE, SLUSH, BLOCKED, BURST)
"""From harmless to broken: no ice; slush that still flows; a channel blocked but whole; plates burst."""


@dataclass(frozen=True)
class GuardStep:
    """One step of the protection: time [s], event and new state in words."""

    time: float
    event: str
    state: str


@dataclass(frozen=True)
class FreezeResult:
    """How the case goes. Times are None where it never happens; histories are tuples along `time`.

    spec: what was asked; outcome: one of OUTCOMES
    first_ice_time [s]: a layer of coolant reaches its freezing point
    wall_below_freezing_time [s]: the coldest plate passes the freezing point
    blocked_time [s]: the first channel section holds more ice than slush flows with
    burst_time [s]: its pressure passes what the plates bear
    valve_closed_time [s]; compressor_stopped_time [s]
    peak_ice [kg/kg]: highest share over a channel section
    freezing_point [K] of the coolant
    start_evaporating_temperature [K]: before the failure
    heat_moved [J]: all heat through the plates
    energy_closure: largest gap of the energy balance at any output over the heat moved until then [-]
    mass_closure: largest gap of the refrigerant balance over its mass [-]
    guard_steps: what the protection did; notes: limits of this answer
    time [s]; evaporating_pressure [Pa]; evaporating_temperature [K]; coldest_plate_temperature [K];
    mean_coolant_temperature [K]; coolant_flow [kg/s]; ice [kg/kg] in the fullest
    section; cooling_capacity [W]
    """

    spec: FreezeSpec
    outcome: str
    first_ice_time: float | None
    wall_below_freezing_time: float | None
    blocked_time: float | None
    burst_time: float | None
    valve_closed_time: float | None
    compressor_stopped_time: float | None
    peak_ice: float
    freezing_point: float
    start_evaporating_temperature: float
    heat_moved: float
    energy_closure: float
    mass_closure: float
    guard_steps: tuple
    time: tuple
    evaporating_pressure: tuple
    evaporating_temperature: tuple
    coldest_plate_temperature: tuple
    mean_coolant_temperature: tuple
    coolant_flow: tuple
    ice: tuple
    cooling_capacity: tuple
    notes: tuple

    @property
    def failed(self):
        """Names of the guards that have failed."""
        return self.spec.guards.failed if self.spec.guards else ()


def read_result(run, times):
    """Return the result of a case that has run; times [s]."""
    model, spec = run.model, run.spec
    Y, modes = run.at(times)
    layers, plates, mass, energy, _, through, moved, refrigerant = model.split(Y)
    circuit = model.circuit
    T = circuit.table.temperature_of(mass, energy, circuit.volume)
    ice = model.ice(layers)
    coolant = model.curve.temperature_at(layers)
    stored = model.stored(Y)
    if T.min() < circuit.coldest - 0.5 or T.max() > circuit.table.temperature[-1] or mass.min() <= 0.0:
        raise NoSolutionError.about("freeze transient", "left the refrigerant's table", "", "check the high side")
    moved_so_far = np.maximum(moved, 1.0)
    energy_closure = float(np.max(np.abs(stored - stored[0] - through) / moved_so_far))
    mass_closure = float(np.max(np.abs(mass - mass[0] - refrigerant)) / mass[0])
    closed(freeze_transient_energy=energy_closure, freeze_transient_mass=mass_closure)
    boiled = np.empty_like(T)
    for mode in set(modes):
        same = [i for i, other in enumerate(modes) if other == mode]
        boiled[same] = model.boiling_heat(plates[:, same], mass[same], energy[same], mode).sum(axis=0)
    section = ice.mean(axis=0)
    shares = [model.flow_share(min(t, np.nextafter(run.t, 0.0))) for t in times]
    flow = model.flow(ice, np.array(shares), coolant)
    marks = run.marks
    outcome = NO_ICE
    for name, word in (("ice", SLUSH), ("blocked", BLOCKED), ("burst", BURST)):
        outcome = word if name in marks else outcome
    return FreezeResult(
        spec=spec,
        outcome=outcome,
        first_ice_time=marks.get("ice"),
        wall_below_freezing_time=marks.get("wall"),
        blocked_time=marks.get("blocked"),
        burst_time=marks.get("burst"),
        valve_closed_time=marks.get("shut"),
        compressor_stopped_time=marks.get("stopped"),
        peak_ice=float(section.max()),
        freezing_point=model.curve.freezing_point,
        start_evaporating_temperature=float(T[0]),
        heat_moved=float(moved[-1]),
        energy_closure=energy_closure,
        mass_closure=mass_closure,
        guard_steps=tuple(run.steps),
        time=_row(times),
        evaporating_pressure=_row(circuit.table.read("pressure", T)),
        evaporating_temperature=_row(T),
        coldest_plate_temperature=_row(plates.min(axis=0)),
        mean_coolant_temperature=_row(coolant.mean(axis=(0, 1))),
        coolant_flow=_row(flow),
        ice=_row(section.max(axis=0)),
        cooling_capacity=_row(boiled),
        notes=_notes(run, T),
    )


def _row(values):
    return tuple(np.asarray(values, dtype=float).tolist())


def _notes(run, T):
    notes = []
    if run.spec.valve_leak >= 0.5:
        notes.append("the shut-off valve hardly closes: half of the feed or more passes it")
    if T.min() < run.model.circuit.coldest + 8.0:
        notes.append(
            "the boiling temperature fell to the end of the refrigerant table: the pressure shown is too high there"
        )
    if "ice" in run.marks:
        notes.append("real coolant may undercool by some kelvin before the first crystal, then freezes at once")
    return tuple(notes)
