"""The learner chooses a coolant layout, turns its valve, sets pumps and heats, and lets one part fail."""

from dataclasses import dataclass, replace

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.coolant_parts import (
    AMOUNT_HELP,
    CAUTION,
    FAULT_CONTROL,
    INVENTED,
    LAYOUTS,
    POSITION_CONTROL,
    has_amount,
    heats,
    network_of,
    pump_speeds,
    usual_amount,
)
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.systems.coolant_network import apply_faults, solve_coolant_network
from thermo_kit.units import celsius


@dataclass(frozen=True, kw_only=True)
class LayoutSettings:
    """Layout, valve position [empty: as drawn], speeds [share of full], heats [W], air [K], speed [m/s], chiller, fault
    and how bad it is [-]."""

    layout: str = "join_or_part"
    position: str = ""
    drive_speed: float = 1.0
    battery_speed: float = 1.0
    drive_heat: float = 1800.0
    battery_heat: float = 700.0
    ambient_temperature: float = celsius(25)
    vehicle_speed: float = 0.0
    chiller: bool = True
    fault: str = "none"
    amount: float = 0.0


def solved(settings):
    """Return the solved network that the settings name."""
    spec, faults = network_of(
        settings.layout, settings.position, settings.fault, settings.amount,
        ambient_temperature=settings.ambient_temperature, vehicle_speed=settings.vehicle_speed,
    )  # fmt: skip
    spec = heats(pump_speeds(spec, settings.drive_speed, settings.battery_speed),
                 battery=settings.battery_heat, drive=settings.drive_heat)  # fmt: skip
    if not settings.chiller:
        off = [replace(b, chiller=replace(b.chiller, running=False)) if b.chiller else b for b in spec.branches]
        spec = replace(spec, branches=tuple(off))
    return solve_coolant_network(apply_faults(spec, faults))


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.coolant_layout import layout_picture
    from thermo_kit.charts.coolant_words import stands_still

    result = solved(settings)
    picture = layout_picture(result, look)
    rows = []
    for body in result.bodies:
        value = "no steady value" if body.temperature is None else look.text(body.temperature, "temperature")
        rows.append((f"{body.name}, limit {look.text(body.temperature_limit, 'temperature', 0)}", value))
    for name, pump in result.pumps:
        flow = result.way(name).volume_flow
        told = look.text(abs(flow), "volume_flow") + (" backwards" if flow < 0 else "")
        told = "no flow" if stands_still(result.way(name)) else told
        rows += [(f"Flow through {name}", told), (f"Power of {name}", f"{pump.electric_power:.0f} W")]
    for branch in result.spec.branches:
        way = result.way(branch.name)
        if branch.radiator:
            rows.append((f"Heat given by {branch.name}", look.text(way.radiator_heat, "power")))
        if branch.chiller:
            rows.append((f"Heat taken by {branch.name}", look.text(way.heat_to_chiller, "power")))
    rows.append(("Coolant freezes at", look.text(result.freezing_point, "temperature")))
    return Description((picture,), picture.sentence, tuple(rows), (*result.notes, INVENTED, CAUTION))


def follow(settings, changed):
    """Let the valve and the fault fit a newly chosen layout, and the degree a newly chosen fault."""
    if changed == "layout":
        air = {"warm_cabin": celsius(-5)}.get(settings.layout, settings.ambient_temperature)
        return {"position": "", "fault": "none", "amount": 0.0, "ambient_temperature": air}
    return {"amount": usual_amount(settings.fault)} if changed == "fault" else {}


class LayoutPanel(Panel):
    """A coolant layout with all its flows."""

    title = "A coolant layout, all flows at once"
    Settings = LayoutSettings
    controls = (
        ChoiceControl("layout", "Layout", LAYOUTS),
        POSITION_CONTROL,
        FAULT_CONTROL,
        NumberControl(
            "amount", "How bad", "percent", low=0.0, high=1.0, step=0.02, us_step=2, decimals=0, help=AMOUNT_HELP,
            needed=has_amount,
        ),
        NumberControl(
            "drive_speed", "Speed of the drive pump", "percent", low=0.1, high=1.2, step=0.05, us_step=5, decimals=0,
            help="Share of full speed; a single pump follows this one.",
        ),
        NumberControl(
            "battery_speed", "Speed of the battery pump", "percent", low=0.1, high=1.2, step=0.05, us_step=5, decimals=0
        ),
        NumberControl(
            "drive_heat", "Heat of motor and inverter", "power", low=0.0, high=8000.0, step=100.0, us_step=500
        ),
        NumberControl("battery_heat", "Heat of the battery", "power", low=0.0, high=8000.0, step=100.0, us_step=500),
        NumberControl(
            "ambient_temperature", "Air temperature", "temperature", low=celsius(-30), high=celsius(50), step=1.0,
            us_step=2, decimals=0,
        ),
        NumberControl(
            "vehicle_speed", "Driving speed", "velocity", low=0.0, high=35.0, step=1.0, us_step=3, decimals=0
        ),
        ChoiceControl("chiller", "Chiller", (("running", True), ("off", False))),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
