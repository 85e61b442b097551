"""The learner turns a gauge reading into absolute pressure and back, at any altitude."""

from dataclasses import dataclass

from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import atmosphere_pressure, barg, format_quantity


@dataclass(frozen=True, kw_only=True)
class PressureSettings:
    """One pressure, shown by two controls; both are stored absolute [Pa]."""

    gauge_reading: float = barg(2.0)
    absolute: float = barg(2.0)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.pressure_ladder import pressure_ladder

    pressure = settings.gauge_reading
    air = atmosphere_pressure(look.altitude)

    def told(value, kind):
        return format_quantity(value, kind, look.system, look.altitude)

    picture = pressure_ladder(pressure, look)
    rows = (
        ("Gauge reading", told(pressure, "gauge_pressure")),
        (f"Surrounding air at {told(look.altitude, 'altitude')}", told(air, "pressure")),
        ("Absolute pressure", told(pressure, "pressure")),
    )
    return Description(
        pictures=(picture,),
        sentence=picture.sentence,
        rows=rows,
        notes=("Standard air for this altitude. Weather shifts it by about 3 kPa (0.03 bar, 0.4 psi) either way.",),
    )


def follow(settings, changed):
    """Return the value that the other control takes on."""
    if changed == "absolute":
        return {"gauge_reading": settings.absolute}
    return {"absolute": settings.gauge_reading}


class PressurePanel(Panel):
    """One pressure on the gauge and absolute; move either."""

    title = "Gauge and absolute pressure"
    Settings = PressureSettings
    controls = (
        NumberControl(
            "gauge_reading", "Gauge reading", "gauge_pressure",
            low=0.0, high=40e5, step=0.1e5, us_step=1, fixed=True,
            help="Absolute minus surrounding air. Below zero: vacuum.",
        ),
        NumberControl(
            "absolute", "Absolute pressure", "pressure",
            low=0.0, high=40e5, step=0.1e5, us_step=1, fixed=True,
            help="Counted from a perfect vacuum.",
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
