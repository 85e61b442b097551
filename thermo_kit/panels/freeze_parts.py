"""What the panels of the freezing chiller share: mixture, failure, kept transients, the outcome in words."""

import functools

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.systems import FreezeSpec, simulate_chiller_freeze
from thermo_kit.units import from_display


def rpm(x):
    """Turn revolutions a minute into what is stored; x [1/min] → [rad/s]."""
    return from_display(x, "rotational_speed")


COOLANT = ChoiceControl(
    "coolant", "Coolant", (("water with ethylene glycol", "ethylene glycol"), ("water with propylene glycol",
                                                                               "propylene glycol")),
)  # fmt: skip
SHARE = NumberControl(
    "mass_fraction", "Glycol, by mass", "percent", low=0.0, high=0.6, step=0.01, us_step=1, decimals=0,
    help="0 is plain water.",
)  # fmt: skip
SPEED = NumberControl(
    "compressor_speed", "Compressor speed", "rotational_speed", low=rpm(1500), high=rpm(6000), step=rpm(100),
    us_step=100, decimals=0,
)  # fmt: skip
CABIN = ChoiceControl("cabin_open", "Cabin evaporator", (("shut", False), ("open too", True)))
CAUTIONS = (
    "A model for comparing, perhaps 30 % off in its seconds: a judgement, no source. The chiller and its guards are "
    "invented.",
)


@functools.lru_cache(maxsize=256)
def transient(spec, outputs=121):
    """Return the transient of a case; a case seen before is kept."""
    return simulate_chiller_freeze(spec, outputs=outputs)


def mixture_of(settings):
    """Return coolant and share by name; no glycol at all is water."""
    if settings.mass_fraction < 0.005:
        return {"coolant": "water", "mass_fraction": 0.0}
    return {"coolant": settings.coolant, "mass_fraction": round(settings.mass_fraction, 4)}


def case_of(settings, **more):
    """Return the case that the settings describe."""
    fields = {name: getattr(settings, name) for name in ("compressor_speed", "cabin_open") if hasattr(settings, name)}
    return FreezeSpec(**mixture_of(settings), **fields, **more)


def outcome_words(result):
    """Say what becomes of the plates."""
    if result.outcome == "burst":
        return f"plates burst at {result.burst_time:.1f} s"
    if result.outcome == "no ice":
        return "plates survive, no ice"
    most = f"at most {result.peak_ice * 100:.0f} % ice"
    if result.outcome == "blocked":
        return f"a channel is blocked, the plates have not burst by then, {most}"
    return f"plates survive, slush, {most}"


def seconds(time, within=None):
    """Write a moment that may never come; time [s], within [s]."""
    if time is not None:
        return f"{time:.1f} s"
    return "never" if within is None else f"not within {within:.0f} s"
