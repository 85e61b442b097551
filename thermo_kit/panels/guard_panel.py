"""The learner fails one guard after another and finds which failure alone, and which pair, bursts the plates."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.freeze_parts import CABIN, CAUTIONS, COOLANT, SHARE, case_of, outcome_words, seconds, transient
from thermo_kit.systems import GuardSettings
from thermo_kit.systems.guard_table import GUARD_NAMES

_FIELDS = dict(zip(("flow_watch", "cold_watch", "pressure_watch", "valve"), GUARD_NAMES, strict=True))
_MOST_TRIED = 12


@dataclass(frozen=True, kw_only=True)
class GuardPanelSettings:
    """Which guards work, where the sensor sits, what the flow watch stops, mixture [kg/kg], cabin; what was tried."""

    flow_watch: bool = True
    cold_watch: bool = True
    pressure_watch: bool = True
    valve: bool = True
    interlock_stops_compressor: bool = True
    sensor_place: str = "plate"
    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.0
    cabin_open: bool = False
    tried: tuple = ()


def failed_in(settings):
    """Return the guards that have failed."""
    return tuple(guard for field, guard in _FIELDS.items() if not getattr(settings, field))


def run(settings, failed):
    """Return what happens with some guards failed."""
    guards = GuardSettings(
        failed=failed,
        sensor_place=settings.sensor_place,
        interlock_stops_compressor=settings.interlock_stops_compressor,
    )
    return transient(case_of(settings, guards=guards, duration=300.0))


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.guard_chart import guard_chart

    failed = failed_in(settings)
    result = run(settings, failed)
    note = (
        f"This coolant freezes at {look.text(result.freezing_point, 'temperature')}; the coldest plate reaches "
        f"{look.text(min(result.coldest_plate_temperature), 'temperature')}."
    )
    picture = guard_chart(
        result.guard_steps, failed, outcome=outcome_words(result), note=note,
        interlock_stops_compressor=settings.interlock_stops_compressor,
    )  # fmt: skip
    rows = tuple(_row(settings, tried, tried == failed) for tried in settings.tried or (failed,))
    notes = (*CAUTIONS, "Every failure here is total: a failed watch never reports, a failed valve stays open.")
    heads = ("Tried so far: failed", "outcome", "first ice", "burst", "most ice")
    return Description((picture,), picture.sentence, rows, notes, heads)


def _row(settings, failed, is_shown):
    result = run(settings, failed)
    name = " + ".join(failed) or "none"
    return (
        f"→ {name}" if is_shown else name,
        "BURST" if result.outcome == "burst" else result.outcome,
        seconds(result.first_ice_time),
        seconds(result.burst_time),
        f"{result.peak_ice * 100:.0f} %",
    )


def follow(settings, changed):
    """Keep the list of what was tried; another circuit begins a new list."""
    now = failed_in(settings)
    before = settings.tried if changed in _FIELDS else ()
    if now in before:
        return {}
    return {"tried": (*before, now)[-_MOST_TRIED:]}


def _works(field, label):
    return ChoiceControl(field, label, (("works", True), ("has failed", False)))


class GuardPanel(Panel):
    """The protection of a chiller, with guards to fail."""

    title = "Four guards"
    Settings = GuardPanelSettings
    controls = (
        _works("flow_watch", "Flow watch"),
        _works("cold_watch", "Cold watch"),
        _works("pressure_watch", "Pressure watch"),
        _works("valve", "Shut-off valve"),
        ChoiceControl(
            "interlock_stops_compressor",
            "The flow watch stops",
            (("compressor and feed", True), ("the feed only", False)),
        ),
        ChoiceControl("sensor_place", "Cold sensor sits", (("in the plates", "plate"), ("in the hose behind", "hose"))),
        CABIN, COOLANT, SHARE,
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
