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
    """How the case goes. Times [s] are None where it never happens; histories share the tuple `time`.

    outcome: one of OUTCOMES; survives: False only for "burst"; first_ice_time: first layer of coolant at its freezing
    point; wall_below_freezing_time; blocked_time: the first channel stops flowing; burst_time;
    peak_ice [kg/kg]: highest mean over a channel's section; peak_trapped_pressure [Pa];
    energy_closure: largest gap of the energy balance at any output over the heat moved until then
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
