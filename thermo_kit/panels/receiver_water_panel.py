"""The learner lets water into the desiccant: through hoses over years, or through an open port in an hour."""

from dataclasses import dataclass

from thermo_kit.components.receiver import MoistureSpec, moisture_balance, water_after
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import UnitSystem

_YEARS = tuple(0.25 * step for step in range(61))


@dataclass(frozen=True, kw_only=True)
class WaterSettings:
    """Beads [kg], water at the start [kg], water coming in [kg a year], hours open to the air."""

    desiccant_mass: float = 0.030
    water_at_start: float = 0.001
    ingress_per_year: float = 0.0003
    open_hours: float = 0.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.receiver_water import water_picture

    result = moisture_balance(
        MoistureSpec(
            desiccant_mass=settings.desiccant_mass,
            water_at_start=settings.water_at_start,
            ingress_per_year=settings.ingress_per_year,
            open_hours=settings.open_hours,
        )
    )
    places = 1 if look.system is UnitSystem.SI else 2
    held, free = zip(*(water_after(result, year) for year in _YEARS), strict=True)
    picture = water_picture(result, _YEARS, held, free, look)
    left = "never" if result.years_left is None else f"{result.years_left:.1f} years"
    rows = (
        ("The beads can hold", look.text(result.capacity, "mass", places)),
        ("They hold at the start", look.text(result.held_at_start, "mass", places)),
        ("Of that, from the open air", look.text(result.from_air, "mass", places)),
        ("Filled to", f"{result.loading_share * 100:.0f} %"),
        ("Full in", left),
        ("Free water at the start", look.text(result.free_at_start, "mass", places)),
    )
    return Description((picture,), picture.sentence, rows, result.notes)


class ReceiverWaterPanel(Panel):
    """Water balance of the desiccant."""

    title = "Water in the desiccant"
    Settings = WaterSettings
    controls = (
        NumberControl("open_hours", "Hours open to the air", "ratio", low=0.0, high=24.0, step=0.1, decimals=1),
        NumberControl(
            "water_at_start",
            "Water left at the start",
            "mass",
            low=0.0,
            high=0.03,
            step=0.0005,
            us_step=0.01,
            decimals=2,
        ),
        NumberControl(
            "ingress_per_year",
            "Water coming in each year",
            "mass",
            low=0.0,
            high=0.005,
            step=0.0001,
            us_step=0.005,
            decimals=2,
        ),
        NumberControl("desiccant_mass", "Dry beads in the bag", "mass", low=0.005, high=0.2, step=0.005, us_step=0.1),
    )
    describe = staticmethod(describe)
