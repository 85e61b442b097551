"""The learner runs a drive, a fast charge or a hot soak with one fault: which part passes its limit first, and when?"""

import functools
from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.coolant_parts import (
    CAUTION,
    FAULT_CONTROL,
    INVENTED,
    LAYOUTS,
    POSITION_CONTROL,
    network_of,
    usual_amount,
)
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems.coolant_network import drive, fast_charge, hot_soak, simulate_network
from thermo_kit.units import celsius, format_both

HOUR = 3600.0
FAULT_TIME = 600.0
SCENES = (
    ("delivery round, one hour", "drive"),
    ("fast charge, one hour", "fast charge"),
    ("hot soak after a hard drive, one hour", "hot soak"),
)
AIRS = tuple((format_both(celsius(degree), "temperature"), celsius(degree)) for degree in (10, 25, 35, 40))


@dataclass(frozen=True, kw_only=True)
class ScenarioSettings:
    """Layout, valve position [empty: as drawn], scene, air [K], fault after ten minutes, pumps' after-run in a hot soak
    [s], moment shown [s]."""

    layout: str = "two_loops"
    position: str = ""
    scene: str = "drive"
    ambient_temperature: float = celsius(35)
    fault: str = "drive pump dead"
    after_run: float = 0.0
    moment: float = 1800.0


def run_of(settings):
    """Return the run that the settings name, and when its fault strikes; each run is computed once."""
    return _run(
        settings.layout, settings.position, settings.scene, settings.ambient_temperature, settings.fault,
        settings.after_run,
    )  # fmt: skip


@functools.lru_cache(maxsize=24)
def _run(layout, position, scene, air, fault, after_run):
    spec, faults = network_of(layout, position, fault, usual_amount(fault), ambient_temperature=air)
    if scene == "hot soak":
        scenario = hot_soak(duration=HOUR, ambient_temperature=air, after_run=after_run)
    elif scene == "fast charge":
        scenario = fast_charge(duration=HOUR, ambient_temperature=air)
    else:
        scenario = drive(duration=HOUR, ambient_temperature=air)
    # Parked, everything is off anyway: a fault is there from the start and shows in the after-run.
    strikes = 0.0 if scene == "hot soak" else FAULT_TIME
    run = simulate_network(spec, scenario, faults=faults, fault_time=strikes)
    return run, strikes if faults else None


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.coolant_run import part_text, run_picture

    run, strikes = run_of(settings)
    picture = run_picture(run, look, cursor=settings.moment, fault_time=strikes)
    rows = [
        (f"Hottest {name}, limit {look.text(_limit(run, name), 'temperature', 0)}", part_text(max(values), look))
        for name, values in run.body_temperature.items()
    ]
    for event in run.events:
        when = look.text(event.time, "duration")
        if strikes and event.time >= strikes:
            when += f", {look.text(event.time - strikes, 'duration')} after the fault"
        rows.append((_event_words(run, event, look), when))
    if not run.events:
        rows.append(("Limits passed", "none"))
    notes = [
        "No control steps in: a real vehicle warns, cuts power or stops the charge before a part is harmed.",
        "Coolant data end at 100 °C (212 °F): where it may boil, the run goes on with the last data.",
        f"{INVENTED} The fault strikes after ten minutes, in a hot soak from the start.",
        CAUTION,
    ]
    return Description((picture,), picture.sentence, tuple(rows), tuple(notes))


def _limit(run, name):
    return next(body.temperature_limit for body in run.spec.bodies if body.name == name)


def _event_words(run, event, look):
    if event.text.startswith("over its limit"):
        return f"{event.part} passes {look.text(_limit(run, event.part), 'temperature', 0)}"
    if event.text.startswith("above 100"):
        return f"coolant passes {look.text(celsius(100), 'temperature', 0)} somewhere, may boil"
    return f"{event.part} {event.text}"


def follow(settings, changed):
    """Let valve and fault fit a newly chosen layout."""
    return {"position": "", "fault": "none"} if changed == "layout" else {}


class ScenarioPanel(Panel):
    """Temperatures over an hour, with one fault."""

    title = "An hour with one fault"
    Settings = ScenarioSettings
    controls = (
        ChoiceControl("scene", "Scene", SCENES),
        ChoiceControl("layout", "Layout", LAYOUTS),
        POSITION_CONTROL,
        FAULT_CONTROL,
        ChoiceControl("ambient_temperature", "Air temperature", AIRS),
        ChoiceControl(
            "after_run", "Pumps run on when parked", (("not at all", 0.0), ("5 min", 300.0), ("15 min", 900.0)),
            help="Counts in a hot soak only.",
        ),
        NumberControl("moment", "Moment", "duration", low=0.0, high=HOUR, step=30.0, us_step=0.5),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
