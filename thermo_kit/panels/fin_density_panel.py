"""The learner counts fins and looks for the best number of them."""

import functools
from dataclasses import dataclass

from thermo_kit.components.condenser import condensing_pressure_for, fin_curve, with_fin_density
from thermo_kit.components.fin_geometry import fin_geometry
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.panels.condenser_parts import (
    HELD,
    VEHICLE_CONTROL,
    air_controls,
    air_of,
    cooling_control,
    core_of,
    duty_of,
    fin_control,
    follow_vehicle,
)
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.units import celsius

_DENSITIES = tuple(fins_per_inch(count) for count in range(12, 41, 2))


@dataclass(frozen=True, kw_only=True)
class FinSettings:
    """Vehicle; fins [1/m], dirt [-], temperature [K], fan share [-], driving speed [m/s], cooling [W]."""

    vehicle: str = "van"
    fin_density: float = fins_per_inch(20)
    blocked: float = 0.0
    air_temperature: float = celsius(40)
    fan_speed: float = 1.0
    driving_speed: float = 0.0
    cooling: float = 4500.0


@functools.lru_cache(maxsize=8)
def _curve(core, duty, air):
    """Kept, so that the slider of the fins only moves the mark."""
    return fin_curve(core, duty, air, _DENSITIES)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.fin_density import fin_picture, fin_strip

    core, duty, air = core_of(settings), duty_of(settings), air_of(settings, look)
    curve = _curve(with_fin_density(core, _DENSITIES[0]), duty, air)
    near = min(curve.heads, key=lambda head: abs(head.condenser.spec.fins.fin_density - settings.fin_density))
    head = condensing_pressure_for(core, duty, air, near=near)
    moved = head.condenser.air_side
    drop = moved.core_pressure_drop
    surface = fin_geometry(core.fins).total_area * core.tube_length * sum(core.tubes)
    pictures = (fin_strip(core.fins, look), fin_picture(curve, head, look))
    best = look.text(curve.best_fin_density, "fin_density", 0)
    rows = (
        ("Fins", look.text(settings.fin_density, "fin_density")),
        ("One fin every", look.text(1 / settings.fin_density, "length", 3)),
        ("Surface in the air", f"{surface:.1f} m² ({surface * 10.7639:.0f} ft²)"),
        ("Air flow", look.text(moved.volume_flow, "air_flow")),
        (
            "Pressure the core takes",
            f"{drop:.0f} Pa ({drop / 249.089:.2f} inH₂O)",
        ),
        ("Head pressure", look.text(head.condensing_pressure, "pressure")),
        ("Compressor power", look.text(head.compressor_power, "electric_power")),
        ("Fan power", look.text(head.fan_power, "electric_power")),
        ("Least power of both near", best if curve.best_is_inside else f"beyond {best}"),
    )
    return Description(pictures, pictures[1].sentence, rows, (*head.condenser.notes, _CLEAN, HELD))


_CLEAN = (
    "The model knows neither dirt between the fins nor the price of metal. The curve is flat near its best: "
    "our reading is that cores stay near 20 because dense fins clog (no source)."
)


class FinDensityPanel(Panel):
    """One inch of fins, and what their number does."""

    title = "How many fins?"
    Settings = FinSettings
    # Only the fins have a slider: the others draw a whole curve anew, which takes a third of a second.
    controls = (
        fin_control("fin_density", "Fin density"),
        NumberControl("blocked", "Blocked share", "percent", low=0.0, high=0.6, step=0.05, decimals=0, slider=False),
        *air_controls(slider=False),
        cooling_control(slider=False),
        VEHICLE_CONTROL,
    )
    describe = staticmethod(describe)
    follow = staticmethod(follow_vehicle)
