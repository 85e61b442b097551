"""The learner chooses rubber mounts and sees what they let through over the speed range."""

from dataclasses import dataclass, replace

from thermo_kit.components.compressor import rpm
from thermo_kit.components.mount import MountSpec, solve_mount, transmissibility
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel

_SPEEDS = tuple(rpm(n) for n in (*range(20, 3000, 40), *range(3000, 9001, 150)))
_SLOW, _FAST = rpm(900), rpm(8000)
METAL_PATHS = (
    ("none: the compressor floats", 0.0),
    ("a stiff pipe clip, 1 kN/mm", 1e6),
    ("a bracket that touches, 5 kN/mm", 5e6),
)


@dataclass(frozen=True, kw_only=True)
class MountSettings:
    """Mass [kg], stiffness of one mount [N/m], damping [-], metal path [N/m], speed [rad/s]."""

    mass: float = 6.5
    stiffness: float = 40e3
    damping_ratio: float = 0.1
    metal_path: float = 0.0
    speed: float = rpm(3000)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.transmissibility import mount_picture

    spec = MountSpec(
        mass=settings.mass,
        stiffness=settings.stiffness,
        damping_ratio=settings.damping_ratio,
        metal_path_stiffness=settings.metal_path,
    )
    result = solve_mount(spec, speed=settings.speed)
    alone = replace(spec, metal_path_stiffness=0.0)
    named = tuple((n, solve_mount(spec, speed=n).transmissibility) for n in (_SLOW, _FAST))
    picture = mount_picture(
        result, _SPEEDS, _curve(spec), _curve(alone) if settings.metal_path else None, look, named=named
    )
    fast = solve_mount(spec, speed=_FAST)
    rows = (
        ("Swings by itself at", look.text(result.natural_speed, "rotational_speed")),
        ("Natural frequency", look.text(result.natural_frequency, "frequency")),
        ("Mounts give under the weight", look.text(result.static_deflection, "length", 3)),
        ("Isolates from", look.text(result.isolating_from, "rotational_speed")),
        ("Gets through at this speed", _percent(result.transmissibility)),
        ("Gets through at 900 r/min", _percent(named[0][1])),
        ("Gets through at 8,000 r/min", _percent(named[1][1])),
        ("Force of the unbalance at 8,000 r/min", look.text(fast.unbalance_force, "force")),
        ("Of that on the body", look.text(fast.transmitted_force, "force", 2)),
    )
    return Description((picture,), picture.sentence, rows, result.notes)


def _curve(spec):
    own = spec.natural_speed
    return tuple(transmissibility(speed_ratio=n / own, damping_ratio=max(spec.damping_ratio, 1e-3)) for n in _SPEEDS)


def _percent(share):
    return f"{share * 100:,.0f} %" if share >= 0.095 else f"{share * 100:.1f} %"


class MountPanel(Panel):
    """What rubber mounts let through at each speed."""

    title = "What the mounts let through"
    Settings = MountSettings
    controls = (
        NumberControl("speed", "Speed", "rotational_speed", low=rpm(200), high=rpm(9000), step=rpm(100), us_step=100),
        NumberControl(
            "stiffness",
            "Stiffness of one of four mounts",
            "stiffness",
            low=5e3,
            high=500e3,
            step=5e3,
            us_step=20,
            decimals=0,
        ),
        NumberControl(
            "damping_ratio",
            "Damping",
            "percent",
            low=0.01,
            high=0.6,
            step=0.01,
            us_step=1,
            decimals=0,
            help="By critical damping; rubber has about 5 to 15 % (common practice, no source).",
        ),
        NumberControl("mass", "Mass of the compressor", "mass", low=3.0, high=15.0, step=0.1, us_step=5),
        ChoiceControl("metal_path", "Metal path beside the rubber", METAL_PATHS),
    )
    describe = staticmethod(describe)
