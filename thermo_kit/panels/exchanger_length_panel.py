"""The learner asks how long an internal heat exchanger should be, and meets friction and the hot gas limit."""

import functools
from dataclasses import dataclass, replace

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.exchange_parts import (
    CONDENSING,
    EFFICIENCY,
    EVAPORATING,
    GAS_COOLER,
    LIMIT,
    SUBCOOLING,
    SUPERHEAT,
    signed,
    spec_of,
)  # fmt: skip
from thermo_kit.panels.exchanger_panel import ExchangerSettings, tubes_of
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.systems import exchange_by_length
from thermo_kit.units import celsius

_LENGTHS = (0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.4, 1.8, 2.4, 3.0)
_LEAST_GAIN = 0.0005
"""Less is shown as 0.0 %."""


@dataclass(frozen=True, kw_only=True)
class ExchangerLengthSettings(ExchangerSettings):
    """As for the double tube, and the hot gas limit [K]."""

    discharge_limit: float = celsius(120)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.exchange_length import LengthSeries, exchange_length

    # Curves are kept for a fixed list, so that a move of the length solves one exchanger and not eight.
    curve = _curve(replace(settings, length=_LENGTHS[-1], discharge_limit=0.0))
    chosen = exchange_by_length(spec_of(settings), tubes_of(settings), settings.mass_flow, (settings.length,))
    points = sorted(
        {**dict(zip(curve.lengths, _columns(curve), strict=True)), settings.length: next(_columns(chosen))}.items()
    )
    lengths, columns = zip(*points, strict=True)
    frictionless, cooling, cop, hot = zip(*columns, strict=True)
    series = LengthSeries(
        settings.refrigerant, lengths, frictionless, cooling, cop, hot,
        chosen=settings.length, best=_best(curve), discharge_limit=settings.discharge_limit,
    )  # fmt: skip
    effect = chosen.effects[0]
    result, lost = effect.exchanger, frictionless[lengths.index(settings.length)] - effect.volumetric_capacity_change
    rows = (
        ("Effectiveness", f"{result.effectiveness:.2f}"),
        ("Vapour loses", look.text(result.vapour_pressure_drop, "pressure_difference")),
        ("Cooling, same compressor", signed(effect.volumetric_capacity_change)),
        ("Friction takes", f"{lost * 100:.1f} points"),
        ("COP", signed(effect.cop_change)),
        ("Hot gas", look.text(effect.with_exchanger.discharge_temperature, "temperature")),
    )
    picture = exchange_length(series, look)
    return Description((picture,), picture.sentence, rows, effect.notes)


def _columns(sweep):
    for effect, free in zip(sweep.effects, sweep.frictionless, strict=True):
        yield (
            free.volumetric_capacity_change, effect.volumetric_capacity_change, effect.cop_change,
            effect.with_exchanger.discharge_temperature,
        )  # fmt: skip


def _best(curve):
    """Return the length of the fixed list that cools most, None where none shows a gain."""
    gain, length = max(zip((effect.volumetric_capacity_change for effect in curve.effects), curve.lengths, strict=True))
    return length if gain >= _LEAST_GAIN else None


@functools.lru_cache(maxsize=64)
def _curve(settings):
    return exchange_by_length(spec_of(settings), tubes_of(settings), settings.mass_flow, _LENGTHS)


class ExchangerLengthPanel(Panel):
    """Gain, friction and hot gas against the length of a double tube."""

    title = "How long must it be?"
    Settings = ExchangerLengthSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl("length", "Length", "length", low=0.1, high=3.0, step=0.05, us_step=2, decimals=0),
        NumberControl(
            "inner_diameter", "Bore of the inner tube", "length", low=0.005, high=0.025, step=0.0005, us_step=0.02,
        ),
        NumberControl("gap", "Gap round it", "length", low=0.0005, high=0.005, step=0.0001, us_step=0.01),
        ChoiceControl("vapour_path", "The vapour flows", (("inside", "inner tube"), ("in the gap", "annulus"))),
        NumberControl(
            "mass_flow", "Flow without exchanger", "mass_flow", low=0.005, high=0.08, step=0.001, us_step=0.1,
        ),
        LIMIT, EVAPORATING, CONDENSING, SUPERHEAT, SUBCOOLING, EFFICIENCY, GAS_COOLER,
    )  # fmt: skip
    describe = staticmethod(describe)
