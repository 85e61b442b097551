"""The learner reads a coolant sample, sees what it protects from, and plans how to top it up."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.service import cold_state, read_hydrometer, read_refractometer, top_up
from thermo_kit.service.mixture import GLYCOLS
from thermo_kit.service.mixture_curve import freezing_curve
from thermo_kit.units import celsius

INSTRUMENTS = (
    ("refractometer, scale of this glycol", "own scale"),
    ("refractometer, scale of the other glycol", "other scale"),
    ("hydrometer", "hydrometer"),
)


@dataclass(frozen=True, kw_only=True)
class MixtureSettings:
    """Glycol in the loop, instrument, its reading [K on the scale, or specific gravity at 15.6 °C], coldest night [K],
    loop and missing volume [m³], wanted share by volume [-]."""

    kind: str = "ethylene glycol"
    instrument: str = "own scale"
    scale_reading: float = celsius(-18)
    specific_gravity: float = 1.05
    coldest: float = celsius(-25)
    system_volume: float = 8e-3
    missing_volume: float = 0.0
    target: float = 0.5


def reading_of(settings):
    """Return what the instrument says."""
    if settings.instrument == "hydrometer":
        return read_hydrometer(settings.kind, specific_gravity=settings.specific_gravity)
    scale = next(name for name in GLYCOLS if (name == settings.kind) == (settings.instrument == "own scale"))
    return read_refractometer(settings.kind, scale_freezing_point=settings.scale_reading, scale_kind=scale)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.mixture_chart import mixture_picture

    reading = reading_of(settings)
    state = cold_state(settings.kind, mass_fraction=reading.mass_fraction, temperature=settings.coldest)
    plan = top_up(
        settings.kind,
        system_volume=settings.system_volume,
        missing_volume=settings.missing_volume,
        volume_fraction=reading.volume_fraction,
        target_volume_fraction=settings.target,
    )
    picture = mixture_picture(freezing_curve(settings.kind), reading, state, plan, settings.coldest, look)
    rows = (
        ("Glycol by volume, by mass", f"{100 * reading.volume_fraction:.1f} %, {100 * reading.mass_fraction:.1f} %"),
        ("Freezing point", look.text(reading.freezing_point, "temperature")),
        (
            "Instrument's band",
            f"{look.text(reading.warmest_freezing_point, 'temperature')} to "
            f"{look.text(reading.coldest_freezing_point, 'temperature')}",
        ),
        ("On the coldest night", state.condition),
        ("Ice by mass", f"{100 * state.ice_fraction:.0f} %"),
        ("Volume gained", f"{100 * state.growth_ratio:.1f} %"),
        ("Drain first", look.text(plan.drain, "volume")),
        ("Add concentrate", look.text(plan.add_concentrate, "volume")),
        ("Add clean water", look.text(plan.add_water, "volume")),
        ("Then freezes at", look.text(plan.freezing_point, "temperature")),
    )
    notes = (
        *reading.notes,
        "Freeze protection: no ice at all, the pump may run. Burst protection: slush, but nothing breaks while it "
        "stands. A plugged channel can burst in slush too: rely on the freezing point.",
        *plan.notes,
        "Coolant is poisonous and tastes sweet: closed vessel, gloves, no drains. Hot loops stand under pressure.",
    )
    return Description((picture,), picture.sentence, rows, notes)


class MixturePanel(Panel):
    """A coolant mixture: reading, frost, topping up."""

    title = "Coolant mixture: read, judge, top up"
    Settings = MixtureSettings
    controls = (
        ChoiceControl("kind", "Glycol in the loop", GLYCOLS),
        ChoiceControl("instrument", "Instrument", INSTRUMENTS),
        NumberControl(
            "scale_reading", "Reading on the scale", "temperature", low=celsius(-45), high=celsius(-0.5), step=0.5,
            us_step=1, help="Refractometer only.",
        ),
        NumberControl(
            "specific_gravity", "Specific gravity", "ratio", low=1.0, high=1.085, step=0.001, us_step=0.001, decimals=3,
            help="Hydrometer only, sample at 15.6 °C (60 °F).",
        ),
        NumberControl(
            "coldest", "Coldest night", "temperature", low=celsius(-45), high=celsius(5), step=1.0, us_step=1,
            decimals=0,
        ),
        NumberControl(
            "target", "Glycol wanted, by volume", "percent", low=0.2, high=0.56, step=0.01, us_step=1, decimals=0
        ),
        NumberControl(
            "system_volume", "Coolant in the full loop", "volume", low=1e-3, high=40e-3, step=0.5e-3, us_step=0.1
        ),
        NumberControl(
            "missing_volume", "Missing now", "volume", low=0.0, high=lambda s: 0.9 * s.system_volume, step=0.1e-3,
            us_step=0.02,
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
