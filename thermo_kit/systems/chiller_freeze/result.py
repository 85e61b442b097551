"""What the freeze transient gives back."""

from dataclasses import dataclass

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

    spec: what was asked; outcome: one of OUTCOMES; survives: False only for "burst"
    first_ice_time [s]: a layer of coolant reaches its freezing point
    wall_below_freezing_time [s]: the coldest plate passes the freezing point
    blocked_time [s]: the first channel section holds more ice than slush flows with
    burst_time [s]: its pressure passes what the plates bear
    valve_closed_time [s]; compressor_stopped_time [s]
    peak_ice [kg/kg]: highest share over a channel section; peak_trapped_pressure [Pa]
    freezing_point [K] of the coolant
    start_cooling_capacity [W] and start_evaporating_temperature [K]: before the failure
    heat_moved [J]: all heat through the plates
    energy_closure: largest gap of the energy balance at any output over the heat moved until then [-]
    mass_closure: largest gap of the refrigerant balance over its mass [-]
    guard_steps: what the protection did; notes: limits of this answer
    time [s]; evaporating_pressure [Pa]; evaporating_temperature [K]; coldest_plate_temperature [K];
    coldest_coolant_temperature [K]; mean_coolant_temperature [K]; coolant_flow [kg/s]; ice [kg/kg] in the fullest
    section; cooling_capacity [W]; segment_ice [kg/kg]: one row per time, from the refrigerant's inlet to its outlet
    """

    spec: FreezeSpec
    outcome: str
    survives: bool
    first_ice_time: float | None
    wall_below_freezing_time: float | None
    blocked_time: float | None
    burst_time: float | None
    valve_closed_time: float | None
    compressor_stopped_time: float | None
    peak_ice: float
    peak_trapped_pressure: float
    freezing_point: float
    start_cooling_capacity: float
    start_evaporating_temperature: float
    heat_moved: float
    energy_closure: float
    mass_closure: float
    guard_steps: tuple
    time: tuple
    evaporating_pressure: tuple
    evaporating_temperature: tuple
    coldest_plate_temperature: tuple
    coldest_coolant_temperature: tuple
    mean_coolant_temperature: tuple
    coolant_flow: tuple
    ice: tuple
    cooling_capacity: tuple
    segment_ice: tuple
    notes: tuple
