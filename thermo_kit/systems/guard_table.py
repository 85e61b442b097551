"""The protection of a chiller as an explicit state chart, names only: guards, states, events, one table between."""

from enum import Enum

GUARD_NAMES = ("flow watch", "cold watch", "pressure watch", "shut-off valve")
"""The four guards: a flow sensor with pump interlock, a low-temperature cut-out, a low-pressure cut-out, a valve."""


class GuardState(Enum):
    """Where the protection stands: what the shut-off valve does, and whether the compressor runs."""

    WATCHING = "watching"
    CLOSING = "valve closing"
    FEED_SHUT = "feed shut off"
    VALVE_STUCK = "valve did not close"
    STOPPED = "compressor stopped"
    STOPPED_CLOSING = "compressor stopped, valve closing"
    SAFE = "compressor stopped and feed shut off"
    STOPPED_STUCK = "compressor stopped, valve did not close"


class GuardEvent(Enum):
    """What can happen to the protection."""

    FLOW_LOST = "coolant flow lost"
    FLOW_LOST_CABIN_RUNS = "coolant flow lost, cabin still needs the compressor"
    TOO_COLD = "coolant too cold"
    PRESSURE_LOW = "low-side pressure too low"
    ORDERED = "closing ordered"
    VALVE_CLOSED = "valve has closed"
    VALVE_FAILED = "valve has not moved"


_S = GuardState
# A column for each event in their order. None, or no row: nothing changes in this state.
_TABLE = {
    _S.WATCHING: (_S.STOPPED_CLOSING, _S.CLOSING, _S.CLOSING, _S.STOPPED, _S.CLOSING, None, None),
    _S.CLOSING: (_S.STOPPED_CLOSING, None, None, _S.STOPPED_CLOSING, None, _S.FEED_SHUT, _S.VALVE_STUCK),
    _S.FEED_SHUT: (_S.SAFE, None, None, _S.SAFE, None, None, None),
    _S.VALVE_STUCK: (_S.STOPPED_STUCK, None, None, _S.STOPPED_STUCK, None, None, None),
    _S.STOPPED: (_S.STOPPED_CLOSING, _S.STOPPED_CLOSING, _S.STOPPED_CLOSING, None, _S.STOPPED_CLOSING, None, None),
    _S.STOPPED_CLOSING: (None, None, None, None, None, _S.SAFE, _S.STOPPED_STUCK),
}
TRANSITIONS = {
    (state, event): target
    for state, targets in _TABLE.items()
    for event, target in zip(GuardEvent, targets, strict=True)
    if target is not None
}
"""Every step that changes the state: (state, event) → next state."""

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
