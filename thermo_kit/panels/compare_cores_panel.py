"""The learner sets two cores side by side and sees what the poorer one costs."""

from dataclasses import dataclass, replace

from thermo_kit.components.condenser import compare_cores, with_fin_density
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.panels.condenser_parts import (
    HELD,
    MADE,
    REFRIGERANTS,
    VEHICLE_CONTROL,
    air_controls,
    air_of,
    cooling_control,
    duty_of,
    fin_control,
    follow_vehicle,
    read_tubes,
    shift_text,
    with_dirt,
    write_tubes,
)
from thermo_kit.panels.controls import NumberControl, TextControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import facts_of
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class CompareCoresSettings:
    """Vehicle; fins [1/m], tubes, dirt [-] of both cores; temperature [K], fan share [-], speed [m/s], cooling [W]."""

    vehicle: str = "van"
    first_fins: float = fins_per_inch(20)
    first_tubes: tuple = (15, 9, 6, 6)
    first_blocked: float = 0.0
    second_fins: float = fins_per_inch(16)
    second_tubes: tuple = (15, 9, 6, 6)
    second_blocked: float = 0.0
    air_temperature: float = celsius(40)
    fan_speed: float = 1.0
    driving_speed: float = 0.0
    cooling: float = 4500.0


def cores_of(settings):
    """Return both cores."""
    base = MADE[settings.vehicle]()
    return tuple(
        with_dirt(
            with_fin_density(replace(base, tubes=tubes, receiver_after=max(len(tubes) - 1, 1)), fins), blocked
        )
        for tubes, fins, blocked in (
            (settings.first_tubes, settings.first_fins, settings.first_blocked),
            (settings.second_tubes, settings.second_fins, settings.second_blocked),
        )
    )  # fmt: skip


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.core_comparison import comparison_picture, percent_words

    compared = compare_cores(*cores_of(settings), duty_of(settings), air_of(settings, look))
    names = ("First core", "Second core")
    picture = comparison_picture(tuple(compared_rows(compared, look)), names, look)
    first, second = compared.first, compared.second
    rows = (
        *(
            (f"Shift in {name}", shift_text(getattr(first, field), getattr(second, field), kind, look))
            for name, field, kind in (
                ("head pressure", "condensing_pressure", "pressure"),
                ("condensing temperature", "condensing_temperature", "temperature"),
                ("compressor power", "compressor_power", "electric_power"),
                ("hot gas", "discharge_temperature", "temperature"),
            )
        ),
        ("Fan power, first / second", " / ".join(look.text(h.fan_power, "electric_power") for h in (first, second))),
        ("Refrigerant flow, first / second", " / ".join(look.text(h.mass_flow, "mass_flow") for h in (first, second))),
        ("COP, first / second", f"{first.coefficient_of_performance:.2f} / {second.coefficient_of_performance:.2f}"),
    )
    sentence = (
        f"For the same cooling the second core needs {look.text(second.condensing_pressure, 'pressure')} where the "
        f"first needs {look.text(first.condensing_pressure, 'pressure')}. Its compressor power is "
        f"{percent_words(compared.compressor_power_ratio - 1)}. Held at the pressure of the first, its cooling is "
        f"{percent_words(compared.capacity_ratio_at_equal_pressure - 1)}."
    )
    caution = facts_of(REFRIGERANTS[settings.vehicle]).caution
    return Description((picture,), sentence, rows, (*second.condenser.notes, HELD, caution))


def compared_rows(compared, look):
    """Yield the rows of the picture."""
    from thermo_kit.charts.core_comparison import ComparedQuantity

    first, second = compared.first, compared.second
    air = first.condenser.air.temperature
    flows = (first.condenser.air_side.volume_flow, second.condenser.air_side.volume_flow)
    pressures = (first.condensing_pressure, second.condensing_pressure)
    yield ComparedQuantity(
        "Head pressure", *pressures, "pressure", "more", difference=shift_text(*pressures, "pressure", look)
    )
    yield ComparedQuantity(
        "Condenses above the air by", first.condensing_temperature - air, second.condensing_temperature - air,
        "temperature_difference", "more",
    )  # fmt: skip
    yield ComparedQuantity(
        "Compressor power", first.compressor_power, second.compressor_power, "electric_power", "more"
    )
    hot = (first.discharge_temperature, second.discharge_temperature)
    yield ComparedQuantity(
        "Hot gas", *hot, "temperature", has_bar=False, difference=shift_text(*hot, "temperature", look)
    )
    yield ComparedQuantity("Subcooling", first.subcooling, second.subcooling, "temperature_difference")
    yield ComparedQuantity("Air flow", *flows, "air_flow")
    yield ComparedQuantity(
        "Cooling at the first's pressure", first.cooling_capacity, compared.second_at_first_pressure.cooling_capacity,
        "power", "less",
    )  # fmt: skip


def _blocked(field, label):
    return NumberControl(field, label, "percent", low=0.0, high=0.7, step=0.05, us_step=5, decimals=0)


def _tubes(field, label):
    return TextControl(field, label, read=read_tubes, write=write_tubes)


class CompareCoresPanel(Panel):
    """Two cores under the same duty and at the same pressure."""

    title = "Two cores, the same job"
    Settings = CompareCoresSettings
    controls = (
        fin_control("first_fins", "First core: fins"),
        fin_control("second_fins", "Second core: fins"),
        _blocked("first_blocked", "First core: blocked"),
        _blocked("second_blocked", "Second core: blocked"),
        _tubes("first_tubes", "First core: tubes in each pass"),
        _tubes("second_tubes", "Second core: tubes in each pass"),
        *air_controls(),
        cooling_control(),
        VEHICLE_CONTROL,
    )
    describe = staticmethod(describe)
    follow = staticmethod(follow_vehicle)
