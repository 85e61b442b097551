"""The coolant of a chiller fails: the learner sees the seconds to first ice, blocked channel and burst."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.freeze_parts import CABIN, CAUTIONS, COOLANT, SHARE, SPEED, case_of, rpm, seconds, transient

_POINTS = 201
"""One each 1.5 s: the picture of a short story needs them."""


@dataclass(frozen=True, kw_only=True)
class FreezeSettings:
    """Mixture [kg/kg], flow left [-] after so long [s], compressor [rad/s], valve: whether and when [s] it shuts, what
    it lets through [-], the pump, the cabin."""

    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.0
    flow_left: float = 0.0
    fading: float = 1.0
    compressor_speed: float = rpm(4000)
    valve_closes: bool = False
    delay: float = 5.0
    valve_leak: float = 0.0
    viscous_power: float = 0.0
    cabin_open: bool = False
    duration: float = 300.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.freeze_story import freeze_story

    result = transient(
        case_of(
            settings,
            flow_profile=((0.0, 1.0), (settings.fading, settings.flow_left)),
            reaction_time=settings.delay if settings.valve_closes else None,
            valve_leak=settings.valve_leak,
            viscous_power=settings.viscous_power,
            duration=settings.duration,
        ),
        outputs=_POINTS,
    )
    looked = settings.duration
    picture = freeze_story(result, look)
    rows = (
        ("End of the story", result.outcome),
        ("Coolant freezes at", look.text(result.freezing_point, "temperature")),
        ("Plate below freezing", seconds(result.wall_below_freezing_time, looked)),
        ("First ice", seconds(result.first_ice_time, looked)),
        ("Channel blocked", seconds(result.blocked_time, looked)),
        ("Plates burst", seconds(result.burst_time, looked)),
        ("Most ice in a channel", f"{result.peak_ice * 100:.0f} %"),
        ("Valve closed", seconds(result.valve_closed_time)),
        ("Coldest refrigerant", look.text(min(result.evaporating_temperature), "temperature")),
        ("Looked at", f"{looked:.0f} s"),
    )
    return Description((picture,), picture.sentence, rows, (*CAUTIONS, *result.notes))


class FreezePanel(Panel):
    """The coolant flow fails while the refrigerant goes on boiling."""

    title = "The coolant stops"
    Settings = FreezeSettings
    controls = (
        SHARE,
        NumberControl("flow_left", "Coolant flow that is left", "percent", low=0.0, high=0.5, step=0.01, us_step=1,
                      decimals=0),
        NumberControl("fading", "It fades within", "time", low=1.0, high=60.0, step=1.0, us_step=1, decimals=0),
        SPEED,
        ChoiceControl(
            "valve_closes", "Shut-off valve", (("nobody closes it", False), ("closes after the delay", True))
        ),
        NumberControl("delay", "Delay of the valve", "time", low=0.0, high=60.0, step=0.5, us_step=0.5, decimals=1),
        ChoiceControl("valve_leak", "Closed valve lets through", (("nothing", 0.0), ("2 %", 0.02), ("10 %", 0.1),
                                                                  ("all: stuck open", 1.0))),
        COOLANT,
        ChoiceControl("viscous_power", "Pump", (("keeps the flow", 0.0), ("hardly turns", 1.0)),
                      help="One that hardly turns moves less the thicker the coolant is."),
        CABIN,
    )  # fmt: skip
    describe = staticmethod(describe)
