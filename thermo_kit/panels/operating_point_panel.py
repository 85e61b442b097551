"""The learner changes pump, hose and coolant, and watches where pump curve and loop curve meet."""

from dataclasses import dataclass, replace

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.coolant_parts import INVENTED
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import Coolant
from thermo_kit.systems.coolant_network import NetworkFault, apply_faults, load_layout
from thermo_kit.systems.operating_curves import operating_curves
from thermo_kit.units import celsius

LOOPS = (
    ("drive loop of two", ("two_loops", "drive pump", "drive return")),
    ("battery loop of two", ("two_loops", "battery pump", "battery return")),
    ("one shared loop", ("one_loop", "pump", "return hose")),
)
COOLANTS = ("ethylene glycol", "propylene glycol", "water")


@dataclass(frozen=True, kw_only=True)
class OperatingPointSettings:
    """Loop [layout, pump, hose], speed share, hose area shut [-], lift lost to air [-], coolant, glycol by mass [-],
    coolant temperature [K]."""

    loop: tuple = LOOPS[0][1]
    speed_share: float = 1.0
    squeezed: float = 0.0
    air_share: float = 0.0
    coolant: str = "ethylene glycol"
    mass_fraction: float = 0.5
    temperature: float = celsius(25)


def curves_of(settings):
    """Return the curves that the settings name."""
    layout, pump, hose = settings.loop
    spec = replace(load_layout(layout), coolant=settings.coolant, mass_fraction=_share(settings))
    spec = replace(
        spec,
        branches=tuple(
            replace(branch, pump=replace(branch.pump, speed_share=settings.speed_share)) if branch.pump else branch
            for branch in spec.branches
        ),
    )
    faults = []
    if settings.air_share:
        faults.append(NetworkFault(kind="pump air-locked", part=pump, amount=settings.air_share))
    if settings.squeezed:
        faults.append(NetworkFault(kind="hose kinked", part=hose, amount=settings.squeezed))
    return operating_curves(apply_faults(spec, faults), pump, temperature=settings.temperature)


def _share(settings):
    return 0.0 if settings.coolant == "water" else settings.mass_fraction


def _coldest(settings):
    """Return the lowest temperature at which this coolant is surely liquid, in whole tenths."""
    if settings.coolant == "water":
        return celsius(1)
    return Coolant(settings.coolant, mass_fraction=settings.mass_fraction).freezing_point + 0.5


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.pump_curves import operating_picture

    curves = curves_of(settings)
    picture = operating_picture(curves, look)
    rows = [
        ("Flow", look.text(curves.point.volume_flow, "volume_flow") if curves.point else "none"),
        ("Pressure of the pump", look.text(curves.point.pressure_rise, "pressure_difference") if curves.point else "0"),
        ("Hydraulic power", f"{curves.point.hydraulic_power:.1f} W" if curves.point else "0 W"),
        ("Electric power", f"{curves.point.electric_power:.1f} W" if curves.point else "–"),
        *((f"Lost in {name}", look.text(value, "pressure_difference")) for name, value in curves.shares),
        ("Viscosity", look.text(curves.viscosity, "viscosity")),
        ("Freezing point", look.text(curves.freezing_point, "temperature")),
    ]
    notes = (
        "All coolant is taken at one temperature. A pump makes less of thick coolant than its curve says: left out.",
        "How much lift a share of air costs differs from pump to pump: the straight rule here has no source.",
        INVENTED,
    )
    return Description((picture,), picture.sentence, tuple(rows), notes)


def follow(settings, changed):
    """Keep the coolant above its freezing point when its kind or strength change."""
    if changed in ("coolant", "mass_fraction"):
        return {"temperature": max(settings.temperature, _coldest(settings))}
    return {}


class OperatingPointPanel(Panel):
    """Pump curve and loop curve."""

    title = "Where pump and loop agree"
    Settings = OperatingPointSettings
    controls = (
        ChoiceControl("loop", "Loop", LOOPS),
        NumberControl(
            "speed_share", "Pump speed", "percent", low=0.1, high=1.2, step=0.05, us_step=5, decimals=0,
            help="Share of full speed.",
        ),
        NumberControl(
            "squeezed", "Return hose squeezed", "percent", low=0.0, high=0.98, step=0.02, us_step=2, decimals=0,
            help="Share of its area that is shut.",
        ),
        NumberControl(
            "air_share", "Air in the pump", "percent", low=0.0, high=1.0, step=0.05, us_step=5, decimals=0,
            help="Share of the lift lost to air.",
        ),
        ChoiceControl("coolant", "Coolant", COOLANTS),
        NumberControl(
            "mass_fraction", "Glycol by mass", "percent", low=0.0, high=0.6, step=0.01, us_step=1, decimals=0,
            help="Water ignores it.",
        ),
        NumberControl(
            "temperature", "Coolant temperature", "temperature", low=_coldest, high=celsius(95), step=1.0, us_step=2
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
