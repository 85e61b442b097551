"""The one door to CoolProp: a kept state for each fluid and thread, and its constants."""

import functools
import threading

_kept = threading.local()


@functools.cache
def coolprop():
    """Load CoolProp when it is first needed; loading takes about two seconds."""
    import CoolProp

    return CoolProp


def kept_state(backend, fluid):
    """Return this thread's CoolProp state of a fluid; making one costs far more than updating it."""
    states, key = vars(_kept), (backend, fluid)
    try:
        return states[key]
    except KeyError:
        return states.setdefault(key, coolprop().AbstractState(backend, fluid))
