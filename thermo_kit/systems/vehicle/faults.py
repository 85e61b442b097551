"""Faults of a vehicle as a table: from a sound specification, and the day, to one with something wrong."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from thermo_kit.errors import UnknownNameError
from thermo_kit.units import Quantity
from thermo_kit.units.checks import Checks


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of fault.

    title: what it is called; event: what has happened on the vehicle; group: what a repair order would say, for the
    priors; place: what it changes, as `changed` takes it; change: (what is there, severity) → what is there then;
    needs: the part that a vehicle must have, else the one in which the place lies; drive: the drive that it must have,
    "" for any
    """

    title: str
    event: str
    group: str
    place: str
    change: Callable
    needs: str = ""
    drive: str = ""


SEVERITY = Quantity("ratio", 0.0, 1.0, "severity of the fault", "0 is none, 1 the worst that this fault stands for")


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault and how bad it is: name, a key of `FAULTS`; severity [-]: 0 to 1."""

    name: str
    severity: float

    def __post_init__(self):
        if self.name not in FAULTS:
            advice = "use one of " + ", ".join(FAULTS)
            raise UnknownNameError.about("fault", repr(self.name), "is not in the table", advice)
        with Checks() as checks:
            SEVERITY.check(checks, self.severity)


def fault_fits(name, spec):
    """Return whether a vehicle has the part that a fault is about.

    Parameters
    ----------
    name : str. A key of `FAULTS`.
    spec : VehicleSpec. The vehicle.

    Returns: bool. Whether it can have this fault.

    Notes: Definition.
    """
    kind = FAULTS[name]
    part, dot, _ = kind.place.partition(".")
    needed = kind.needs or (part if dot else "")
    return getattr(spec, needed, spec) is not None and kind.drive in ("", spec.drive)


def apply_faults(spec, conditions, faults):
    """Return specification and conditions with all faults put in, one after the other.

    Parameters
    ----------
    spec : VehicleSpec. The sound vehicle.
    conditions : Conditions. The day.
    faults : tuple of Fault. What is wrong.

    Returns: tuple. Specification and conditions, changed. Raises UnknownNameError if a fault concerns a part that this
        vehicle does not have.

    Notes: Definition of the faults; sizes are our own choice.
    """
    for fault in faults:
        kind = FAULTS[fault.name]
        if not fault_fits(fault.name, spec):
            advice = "it has no such part: choose another"
            raise UnknownNameError.about("fault", kind.title, f"does not fit the {spec.title}", advice)
        if fault.severity > 0.0:
            spec, conditions = changed(spec, conditions, kind.place, kind.change, fault.severity)
    return spec, conditions


def changed(spec, day, place, change, size):
    """Return (vehicle, day) with one thing changed.

    place: names with dots between, such as "condenser.fins.fin_density", of the day "day.blower_share", "" the vehicle
    itself; change: (what is there, size) → what is there then
    """
    if place.startswith("day."):
        return spec, _with(day, place.removeprefix("day."), change, size)
    return _with(spec, place, change, size), day


def _with(one, place, change, size):
    if not place:
        return change(one, size)
    name, _, rest = place.partition(".")
    return replace(one, **{name: _with(getattr(one, name), rest, change, size)})


def _weak_compressor(spec, severity):
    if spec.compressor:
        return _with(spec, "compressor.leakage_area", lambda old, s: old * (1.0 + 5.0 * s), severity)
    old = spec.belt_compressor
    worn = replace(
        old, leak_slope=min(old.leak_slope + 0.07 * severity, 0.2),
        isentropic_efficiency=old.isentropic_efficiency * (1.0 - 0.3 * severity),
    )  # fmt: skip
    return replace(spec, belt_compressor=worn)


def _lost_bulb(spec, severity):
    """Part of the charge gone lets the bulb dry early; all of it gone leaves the air's pressure."""
    if severity >= 0.95:
        return replace(spec, valve_fault=replace(spec.valve_fault, bulb_lost=True))
    dry = {"charge": "gas charge", "charge_limit_temperature": 288.15 - 25.0 * severity}
    return replace(spec, expansion_valve=replace(spec.expansion_valve, **dry))


FAULTS = {
    "undercharge": Kind(
        "too little refrigerant", "a slow leak, or a charge weighed wrong", "refrigerant",
        "charge", lambda old, s: old * (1.0 - 0.6 * s),
    ),
    "overcharge": Kind(
        "too much refrigerant", "topped up without weighing", "refrigerant",
        "charge", lambda old, s: old * (1.0 + 0.6 * s),
    ),
    "air_in_circuit": Kind(
        "air in the circuit", "filled without evacuation", "contamination",
        "", lambda v, s: replace(v, air_mass=0.012 * v.charge * s),
    ),
    "weak_fan": Kind(
        "weak condenser fan", "a worn brush, a lost resistor stage", "condenser air",
        "day.fan_speed_share", lambda old, s: old * (1.0 - 0.75 * s),
    ),
    "dirty_condenser": Kind(
        "dirty condenser face", "leaves, mud and fluff between the fins", "condenser air",
        "condenser.blocked_fraction", lambda old, s: min(old + 0.7 * s, 0.9),
    ),
    "fewer_fins": Kind(
        "condenser with fewer fins", "a cheap core was put in", "condenser air",
        "condenser.fins.fin_density", lambda old, s: old * (1.0 - 0.5 * s),
    ),
    "hot_air_return": Kind(
        "condenser draws in its own hot air", "seals and ducts of the front end left out", "condenser air",
        "hot_air_return", lambda old, s: 0.6 * s,
    ),
    "blocked_tubes": Kind(
        "blocked condenser tubes", "debris of an old compressor", "contamination",
        "condenser.tubes", lambda old, s: tuple(max(round(count * (1.0 - 0.5 * s)), 1) for count in old),
    ),
    "liquid_restriction": Kind(
        "restriction in the liquid line", "a kinked pipe, a clogged drier", "restriction",
        "liquid_line.open_share", lambda old, s: (1.0 - s) ** 2 * 0.3 + 0.025,
    ),
    "suction_restriction": Kind(
        "restriction in the suction line", "a collapsed hose", "restriction",
        "suction_line.open_share", lambda old, s: (1.0 - s) ** 2 * 0.5 + 0.12,
    ),
    "valve_stuck_open": Kind(
        "expansion valve stuck open", "a chip under the pin", "valve",
        "valve_fault.stuck_at", lambda old, s: 0.4 + 0.6 * s, "expansion_valve",
    ),
    "valve_stuck_shut": Kind(
        "expansion valve stuck nearly shut", "wax, ice or a swollen seal at the pin", "valve",
        "valve_fault.stuck_at", lambda old, s: 0.22 * (1.0 - s) + 0.03, "expansion_valve",
    ),
    "bulb_lost": Kind(
        "bulb has lost part of its charge", "a chafed capillary", "valve",
        "", _lost_bulb, "expansion_valve",
    ),
    "bulb_loose": Kind(
        "bulb is loose", "strap and insulation left off", "valve",
        "valve_fault.bulb_loose_share", lambda old, s: 0.6 * s, "expansion_valve",
    ),
    "wrong_spring": Kind(
        "superheat set too high", "the spring was turned in", "valve",
        "expansion_valve.spring_preload", lambda old, s: old * (1.0 + 1.2 * s),
    ),
    "orifice_blocked": Kind(
        "orifice partly blocked", "debris before its screen", "restriction",
        "orifice.open_share", lambda old, s: old * (1.0 - 0.75 * s),
    ),
    "orifice_bypass": Kind(
        "orifice leaks past its seal", "a torn ring, or the wrong size put in", "valve",
        "orifice.bypass_share", lambda old, s: 0.8 * s,
    ),
    "electronic_valve_stuck": Kind(
        "electronic valve stuck", "a dead coil or a jammed stepper", "valve",
        "electronic_valve.stuck_at", lambda old, s: 0.40 * (1.0 - s) + 0.04,
    ),
    "superheat_sensor": Kind(
        "superheat sensor reads too high", "its foot came off the pipe", "sensor",
        "electronic_valve.sensor_error", lambda old, s: 12.0 * s,
    ),
    "weak_compressor": Kind("weak compressor", "worn scrolls, rings or reeds", "compressor", "", _weak_compressor),
    "belt_slip": Kind(
        "belt or clutch slips", "a glazed belt, oil on the plate", "compressor",
        "slip", lambda old, s: 0.6 * s, "belt_compressor",
    ),
    "early_cycling": Kind(
        "clutch cycles too early", "the low-side switch is set too high", "control",
        "hold_pressure", lambda old, s: old * (1.0 + 0.8 * s), drive="clutch",
    ),
    "stroke_stuck": Kind(
        "displacement control stuck at a small stroke", "a jammed control valve", "control",
        "stuck_share", lambda old, s: 1.0 - 0.85 * s, drive="displacement",
    ),
    "stroke_always_full": Kind(
        "displacement control does not let go", "a control valve without signal", "control",
        "hold_pressure", lambda old, s: old * (1.0 - 0.4 * s), drive="displacement",
    ),
    "weak_blower": Kind(
        "weak blower", "a clogged cabin filter, a worn motor", "cabin air",
        "day.blower_share", lambda old, s: max(old * (1.0 - 0.75 * s), 0.15),
    ),
    "dirty_evaporator": Kind(
        "dirty evaporator face", "lint and growth on the wet fins", "cabin air",
        "evaporator.blocked_share", lambda old, s: min(old + 0.7 * s, 0.9),
    ),
    "blend_leak": Kind(
        "blend door leaks", "a broken door shaft, a heater valve open", "cabin air",
        "blend_leak", lambda old, s: 0.35 * s,
    ),
    "recirculation_stuck": Kind(
        "recirculation door stuck at outside air", "a dead actuator", "cabin air",
        "recirculation_stuck", lambda old, s: 0.5 * (1.0 - s),
    ),
    "exchanger_fouled": Kind(
        "internal heat exchanger passes less heat", "oil sludge, or a plain pipe put in", "restriction",
        "internal_heat_exchanger.length", lambda old, s: old * (1.0 - 0.95 * s),
    ),
    "high_sensor": Kind(
        "high-side sensor lies", "corroded contacts raise its signal", "sensor",
        "high_sensor_error", lambda old, s: 8e5 * s,
    ),
    "low_sensor": Kind(
        "low-side sensor lies", "a drifting sensor", "sensor",
        "low_sensor_error", lambda old, s: 1.5e5 * s,
    ),
    "vent_sensor": Kind(
        "vent sensor lies", "the wrong sensor, or a chafed lead", "sensor",
        "vent_sensor_error", lambda old, s: 12.0 * s,
    ),
}  # fmt: skip
"""Every fault by its name."""

for _field, _where in (("shut_off", "chiller"), ("cabin_shut_off", "cabin")):
    FAULTS[f"{_where}_shut_off_leaks"] = Kind(
        f"shut-off of the {_where} leaks", "a chip or a worn seat in the shut-off valve", "valve",
        f"chiller.{_field}.leak_share", lambda old, s: 0.2 * s,
    )  # fmt: skip
    for _stuck, _event in (("open", "its plunger sticks"), ("shut", "a dead coil, or no signal")):
        FAULTS[f"{_where}_shut_off_stuck_{_stuck}"] = Kind(
            f"shut-off of the {_where} stuck {_stuck}", _event, "valve",
            f"chiller.{_field}.stuck", lambda old, s, stuck=_stuck: stuck,
        )  # fmt: skip
