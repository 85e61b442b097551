"""The learner holds head pressure and flow, and follows vapour share, temperature and mass flux along the passes."""

from dataclasses import dataclass

from thermo_kit.components.condenser import RefrigerantInlet, solve_condenser
from thermo_kit.panels.condenser_parts import (
    BEFORE_LAST,
    FLOW_LIMITS,
    RECEIVER_CONTROL,
    REFRIGERANTS,
    VEHICLE_CONTROL,
    air_controls,
    air_of,
    core_of,
    follow_vehicle,
    read_tubes,
    write_tubes,
)
from thermo_kit.panels.controls import NumberControl, TextControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import Refrigerant
from thermo_kit.units import barg, celsius


@dataclass(frozen=True, kw_only=True)
class PathSettings:
    """Vehicle, tubes, receiver; pressure [Pa], flow [kg/s], superheat [K], shares [-], temperature [K], speed [m/s]."""

    vehicle: str = "van"
    tubes: tuple = (15, 9, 6, 6)
    receiver: int = BEFORE_LAST
    pressure: float = barg(14.0)
    mass_flow: float = 0.042
    superheat: float = 14.0
    air_temperature: float = celsius(38)
    fan_speed: float = 1.0
    driving_speed: float = 0.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.condenser_path import path_picture

    name = REFRIGERANTS[settings.vehicle]
    inlet = RefrigerantInlet(
        refrigerant=name,
        mass_flow=settings.mass_flow,
        pressure=settings.pressure,
        temperature=Refrigerant(name).dew_temperature(settings.pressure) + settings.superheat,
    )
    result = solve_condenser(core_of(settings), inlet, air_of(settings, look))
    picture = path_picture(result, look)
    rows = (
        ("Condenses at", look.text(result.condensing_temperature, "temperature")),
        ("Heat given to the air", look.text(result.heat_rejection, "power")),
        ("Reaches the receiver", _feed(result, look)),
        ("Leaves the core", _outlet(result, look)),
        ("Pressure lost in the core", look.text(result.pressure_drop, "pressure_difference")),
        ("Refrigerant in the tubes", look.text(result.charge, "mass")),
        *(
            (f"Pass {one.number}: pressure lost, heat", f"{look.text(one.pressure_drop, 'pressure_difference')}, "
             f"{look.text(one.heat_flow, 'power')}")
            for one in result.passes
        ),
    )  # fmt: skip
    return Description((picture,), picture.sentence, rows, (*result.notes, _HOLD))


_HOLD = (
    "Here pressure and flow are held, whether they suit each other or not. On a vehicle the head pressure moves "
    "until the receiver gets liquid."
)


def _feed(result, look):
    feed = result.receiver
    if feed is None:
        return "no receiver"
    if feed.vapour_carried:
        return f"{100 * feed.quality:.1f} % vapour"
    return f"liquid, {look.text(feed.subcooling, 'temperature_difference')} subcooled"


def _outlet(result, look):
    if result.outlet_quality is not None:
        return f"{100 * result.outlet_quality:.1f} % vapour"
    if result.subcooling > 0.0:
        return f"liquid, {look.text(result.subcooling, 'temperature_difference')} subcooled"
    return f"gas at {look.text(result.outlet_temperature, 'temperature')}"


class CondenserPathPanel(Panel):
    """Vapour share, temperature and mass flux along the way."""

    title = "Pass by pass, at a held pressure"
    Settings = PathSettings
    controls = (
        NumberControl(
            "pressure", "Head pressure", "gauge_pressure", low=barg(7), high=barg(24), step=0.1e5, us_step=2,
        ),
        NumberControl(
            "mass_flow", "Refrigerant flow", "mass_flow", low=lambda s: FLOW_LIMITS[s.vehicle][0],
            high=lambda s: FLOW_LIMITS[s.vehicle][1], step=0.001, us_step=0.1,
        ),
        TextControl(
            "tubes", "Tubes in each pass", read=read_tubes, write=write_tubes, help="In flow order: 17, 10, 6.",
        ),
        RECEIVER_CONTROL,
        NumberControl(
            "superheat", "Hot gas above condensing", "temperature_difference", low=0.5, high=50.0, step=0.5, us_step=1,
        ),
        *air_controls(),
        VEHICLE_CONTROL,
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow_vehicle)
