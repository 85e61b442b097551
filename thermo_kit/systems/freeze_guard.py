"""What protects a chiller from freezing, as an explicit state chart: states, events, one table between them."""

from dataclasses import dataclass

from thermo_kit.systems.guard_table import GUARD_NAMES, TRANSITIONS, GuardEvent, GuardState
from thermo_kit.units.checks import Checks

__all__ = [
    "GUARD_NAMES",
    "TRANSITIONS",
    "GuardEvent",
    "GuardSettings",
    "GuardState",
    "check_guards",
    "checked_guards",
    "compressor_runs",
    "feed_is_shut",
    "next_state",
    "valve_is_moving",
]

_S, _E = GuardState, GuardEvent
_STOPPED = frozenset((_S.STOPPED, _S.STOPPED_CLOSING, _S.SAFE, _S.STOPPED_STUCK))
_SHUT = frozenset((_S.FEED_SHUT, _S.SAFE))
_MOVING = frozenset((_S.CLOSING, _S.STOPPED_CLOSING))


def next_state(state, event):
    """Return the state that follows an event.

    Examples
    --------
    >>> next_state(GuardState.WATCHING, GuardEvent.TOO_COLD).value
    'valve closing'
    """
    return TRANSITIONS.get((state, event), state)


def compressor_runs(state):
    """Return whether the compressor runs in a state."""
    return state not in _STOPPED


def feed_is_shut(state):
    """Return whether the shut-off valve has closed in a state."""
    return state in _SHUT


def valve_is_moving(state):
    """Return whether the shut-off valve has been told to close and has not answered yet."""
    return state in _MOVING


@dataclass(frozen=True, kw_only=True)
class GuardSettings:
    """How the four guards are set, and which of them have failed. Delays and limits are invented, not a maker's.

    flow_limit: share of the coolant flow below which the flow watch trips; flow_delay [s];
    cold_limit [K]: None sets it 3 K above the coolant's freezing point; cold_delay [s]; sensor_lag [s]: time
    constant of the temperature sensor; sensor_place: "plate" (in the chiller) or "hose" (downstream, where it goes
    blind when the flow stops); pressure_limit [Pa absolute]; pressure_delay [s]; valve_time [s] to close;
    interlock_stops_compressor: whether the flow watch also stops the compressor, or only the chiller's feed;
    failed: names from GUARD_NAMES
    """

    flow_limit: float = 0.4
    flow_delay: float = 2.0
    cold_limit: float | None = None
    cold_delay: float = 1.0
    sensor_lag: float = 3.0
    sensor_place: str = "plate"
    pressure_limit: float = 1.5e5
    pressure_delay: float = 1.0
    valve_time: float = 0.5
    interlock_stops_compressor: bool = True
    failed: tuple = ()

    def healthy(self, guard):
        """Return whether a guard works."""
        return guard not in self.failed

    def events(self):
        """Return what each healthy watch reports."""
        lost = GuardEvent.FLOW_LOST if self.interlock_stops_compressor else GuardEvent.FLOW_LOST_CABIN_RUNS
        reports = {
            "flow watch": (lost, self.flow_delay),
            "cold watch": (GuardEvent.TOO_COLD, self.cold_delay),
            "pressure watch": (GuardEvent.PRESSURE_LOW, self.pressure_delay),
        }
        return {guard: report for guard, report in reports.items() if self.healthy(guard)}


def check_guards(checks, guards):
    """Note every setting of the guards that cannot be used."""
    checks.within("flow_limit", guards.flow_limit, 0.0, 0.95, kind="ratio", exclusive=True,
                  advice="a share of the normal flow, for example 0.4")  # fmt: skip
    for name in ("flow_delay", "cold_delay", "pressure_delay", "valve_time"):
        checks.within(name, getattr(guards, name), 0.0, 600.0, kind="time")
    checks.within("sensor_lag", guards.sensor_lag, 0.1, 120.0, kind="time")
    if guards.cold_limit is not None:
        checks.within("cold_limit", guards.cold_limit, 223.15, 303.15, kind="temperature")
    checks.within("pressure_limit", guards.pressure_limit, 2.0e4, 2.0e6, kind="pressure")
    checks.one_of("sensor_place", guards.sensor_place, ("plate", "hose"))
    for name in guards.failed:
        checks.one_of("failed guard", name, GUARD_NAMES)


def checked_guards(guards):
    """Return guard settings after looking at each."""
    checks = Checks()
    check_guards(checks, guards)
    checks.raise_if_any()
    return guards
