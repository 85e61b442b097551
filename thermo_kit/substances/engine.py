"""The one door to CoolProp: a kept state for each fluid and thread, and its constants."""

import functools
import threading


class _Kept(threading.local):
    """The states of one thread."""

    def __init__(self):
        self.states = {}


_kept = _Kept()


@functools.cache
def coolprop():
    """Load CoolProp when it is first needed; loading takes about two seconds."""
    import CoolProp

    return CoolProp


def kept_state(backend, fluid):
    """Return this thread's CoolProp state of a fluid; making one costs far more than updating it."""
    states, key = _kept.states, (backend, fluid)
    try:
        return states[key]
    except KeyError:
        return states.setdefault(key, coolprop().AbstractState(backend, fluid))
