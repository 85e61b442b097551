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
    priors; change: (specification, conditions, severity) → both, changed; fits: whether a specification can have it
    """

    title: str
    event: str
    group: str
    change: Callable
    fits: Callable = lambda spec: True


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
    return FAULTS[name].fits(spec)


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
        if not kind.fits(spec):
            advice = "it has no such part: choose another"
            raise UnknownNameError.about("fault", kind.title, f"does not fit the {spec.title}", advice)
        if fault.severity > 0.0:
            spec, conditions = kind.change(spec, conditions, fault.severity)
    return spec, conditions


def _of(change):
    """Turn a change of the specification alone into one of both."""
    return lambda spec, day, severity: (replace(spec, **change(spec, severity)), day)


def _part(name, change):
    """Turn a change of one part into one of both."""

    def changed(spec, day, severity):
        old = getattr(spec, name)
        return replace(spec, **{name: replace(old, **change(old, severity))}), day

    return changed


def _has(*names):
    return lambda spec: any(getattr(spec, name) is not None for name in names)


def _day(change):
    return lambda spec, day, severity: (spec, replace(day, **change(day, severity)))


def _weak_compressor(spec, day, severity):
    if spec.compressor:
        worn = replace(spec.compressor, leakage_area=spec.compressor.leakage_area * (1.0 + 5.0 * severity))
        return replace(spec, compressor=worn), day
    old = spec.belt_compressor
    worn = replace(
        old, leak_slope=min(old.leak_slope + 0.07 * severity, 0.2),
        isentropic_efficiency=old.isentropic_efficiency * (1.0 - 0.3 * severity),
    )  # fmt: skip
    return replace(spec, belt_compressor=worn), day


def _blocked_tubes(core, severity):
    return {"tubes": tuple(max(round(count * (1.0 - 0.5 * severity)), 1) for count in core.tubes)}


FAULTS = {
    "undercharge": Kind(
        "too little refrigerant", "a slow leak, or a charge weighed wrong", "refrigerant",
        _of(lambda v, s: {"charge": v.charge * (1.0 - 0.6 * s)}),
    ),
    "overcharge": Kind(
        "too much refrigerant", "topped up without weighing", "refrigerant",
        _of(lambda v, s: {"charge": v.charge * (1.0 + 0.6 * s)}),
    ),
    "air_in_circuit": Kind(
        "air in the circuit", "filled without evacuation", "contamination",
        _of(lambda v, s: {"air_mass": 0.012 * v.charge * s}),
    ),
    "weak_fan": Kind(
        "weak condenser fan", "a worn brush, a lost resistor stage", "condenser air",
        _day(lambda d, s: {"fan_speed_share": d.fan_speed_share * (1.0 - 0.75 * s)}),
    ),
    "dirty_condenser": Kind(
        "dirty condenser face", "leaves, mud and fluff between the fins", "condenser air",
        _part("condenser", lambda c, s: {"blocked_fraction": min(c.blocked_fraction + 0.7 * s, 0.9)}),
    ),
    "fewer_fins": Kind(
        "condenser with fewer fins", "a cheap core was put in", "condenser air",
        _part("condenser", lambda c, s: {
            "fins": replace(c.fins, fin_density=c.fins.fin_density * (1.0 - 0.5 * s))}),
    ),
    "hot_air_return": Kind(
        "condenser draws in its own hot air", "seals and ducts of the front end left out", "condenser air",
        _of(lambda v, s: {"hot_air_return": 0.6 * s}),
    ),
    "blocked_tubes": Kind(
        "blocked condenser tubes", "debris of an old compressor", "contamination",
        _part("condenser", _blocked_tubes),
    ),
    "liquid_restriction": Kind(
        "restriction in the liquid line", "a kinked pipe, a clogged drier", "restriction",
        _part("liquid_line", lambda p, s: {"open_share": (1.0 - s) ** 2 * 0.3 + 0.025}),
    ),
    "suction_restriction": Kind(
        "restriction in the suction line", "a collapsed hose", "restriction",
        _part("suction_line", lambda p, s: {"open_share": (1.0 - s) ** 2 * 0.5 + 0.12}),
    ),
    "valve_stuck_open": Kind(
        "expansion valve stuck open", "a chip under the pin", "valve",
        _part("valve_fault", lambda f, s: {"stuck_at": 0.4 + 0.6 * s}), _has("expansion_valve"),
    ),
    "valve_stuck_shut": Kind(
        "expansion valve stuck nearly shut", "wax, ice or a swollen seal at the pin", "valve",
        _part("valve_fault", lambda f, s: {"stuck_at": 0.22 * (1.0 - s) + 0.03}), _has("expansion_valve"),
    ),
    "bulb_lost": Kind(
        "bulb has lost part of its charge", "a chafed capillary", "valve",
        lambda v, d, s: _lost_bulb(v, d, s), _has("expansion_valve"),
    ),
    "bulb_loose": Kind(
        "bulb is loose", "strap and insulation left off", "valve",
        _part("valve_fault", lambda f, s: {"bulb_loose_share": 0.6 * s}), _has("expansion_valve"),
    ),
    "wrong_spring": Kind(
        "superheat set too high", "the spring was turned in", "valve",
        _part("expansion_valve", lambda e, s: {"spring_preload": e.spring_preload * (1.0 + 1.2 * s)}),
        _has("expansion_valve"),
    ),
    "orifice_blocked": Kind(
        "orifice partly blocked", "debris before its screen", "restriction",
        _part("orifice", lambda o, s: {"open_share": o.open_share * (1.0 - 0.75 * s)}), _has("orifice"),
    ),
    "orifice_bypass": Kind(
        "orifice leaks past its seal", "a torn ring, or the wrong size put in", "valve",
        _part("orifice", lambda o, s: {"bypass_share": 0.8 * s}), _has("orifice"),
    ),
    "electronic_valve_stuck": Kind(
        "electronic valve stuck", "a dead coil or a jammed stepper", "valve",
        _part("electronic_valve", lambda e, s: {"stuck_at": 0.40 * (1.0 - s) + 0.04}), _has("electronic_valve"),
    ),
    "superheat_sensor": Kind(
        "superheat sensor reads too high", "its foot came off the pipe", "sensor",
        _part("electronic_valve", lambda e, s: {"sensor_error": 12.0 * s}), _has("electronic_valve"),
    ),
    "weak_compressor": Kind("weak compressor", "worn scrolls, rings or reeds", "compressor", _weak_compressor),
    "belt_slip": Kind(
        "belt or clutch slips", "a glazed belt, oil on the plate", "compressor",
        _of(lambda v, s: {"slip": 0.6 * s}), _has("belt_compressor"),
    ),
    "early_cycling": Kind(
        "clutch cycles too early", "the low-side switch is set too high", "control",
        _of(lambda v, s: {"hold_pressure": v.hold_pressure * (1.0 + 0.8 * s)}),
        lambda v: v.drive == "clutch",
    ),
    "stroke_stuck": Kind(
        "displacement control stuck at a small stroke", "a jammed control valve", "control",
        lambda v, d, s: (replace(v, stuck_share=1.0 - 0.85 * s), d), lambda v: v.drive == "displacement",
    ),
    "stroke_always_full": Kind(
        "displacement control does not let go", "a control valve without signal", "control",
        _of(lambda v, s: {"hold_pressure": v.hold_pressure * (1.0 - 0.4 * s)}), lambda v: v.drive == "displacement",
    ),
    "weak_blower": Kind(
        "weak blower", "a clogged cabin filter, a worn motor", "cabin air",
        _day(lambda d, s: {"blower_share": max(d.blower_share * (1.0 - 0.75 * s), 0.15)}),
    ),
    "dirty_evaporator": Kind(
        "dirty evaporator face", "lint and growth on the wet fins", "cabin air",
        _part("evaporator", lambda e, s: {"blocked_share": min(e.blocked_share + 0.7 * s, 0.9)}),
    ),
    "blend_leak": Kind(
        "blend door leaks", "a broken door shaft, a heater valve open", "cabin air",
        _of(lambda v, s: {"blend_leak": 0.35 * s}),
    ),
    "recirculation_stuck": Kind(
        "recirculation door stuck at outside air", "a dead actuator", "cabin air",
        _of(lambda v, s: {"recirculation_stuck": 0.5 * (1.0 - s)}),
    ),
    "exchanger_fouled": Kind(
        "internal heat exchanger passes less heat", "oil sludge, or a plain pipe put in", "restriction",
        _part("internal_heat_exchanger", lambda e, s: {"length": e.length * (1.0 - 0.95 * s)}),
        _has("internal_heat_exchanger"),
    ),
    "high_sensor": Kind(
        "high-side sensor lies", "corroded contacts raise its signal", "sensor",
        _of(lambda v, s: {"high_sensor_error": 8e5 * s}),
    ),
    "low_sensor": Kind(
        "low-side sensor lies", "a drifting sensor", "sensor",
        _of(lambda v, s: {"low_sensor_error": 1.5e5 * s}),
    ),
    "vent_sensor": Kind(
        "vent sensor lies", "the wrong sensor, or a chafed lead", "sensor",
        _of(lambda v, s: {"vent_sensor_error": 12.0 * s}),
    ),
}  # fmt: skip
"""Every fault by its name."""


def _shut_off(name, change):
    """Turn a change of one shut-off valve of the chiller's branch into one of the vehicle."""
    return _part("chiller", lambda b, s: {name: replace(getattr(b, name), **change(s))})


for _field, _where in (("shut_off", "chiller"), ("cabin_shut_off", "cabin")):
    FAULTS[f"{_where}_shut_off_leaks"] = Kind(
        f"shut-off of the {_where} leaks", "a chip or a worn seat in the shut-off valve", "valve",
        _shut_off(_field, lambda s: {"leak_share": 0.2 * s}), _has("chiller"),
    )  # fmt: skip
    for _place, _event in (("open", "its plunger sticks"), ("shut", "a dead coil, or no signal")):
        FAULTS[f"{_where}_shut_off_stuck_{_place}"] = Kind(
            f"shut-off of the {_where} stuck {_place}", _event, "valve",
            _shut_off(_field, lambda s, place=_place: {"stuck": place}), _has("chiller"),
        )  # fmt: skip


def _lost_bulb(spec, day, severity):
    """Part of the charge gone lets the bulb dry early; all of it gone leaves the air's pressure."""
    if severity >= 0.95:
        return replace(spec, valve_fault=replace(spec.valve_fault, bulb_lost=True)), day
    limit = 288.15 - 25.0 * severity
    return replace(
        spec, expansion_valve=replace(spec.expansion_valve, charge="gas charge", charge_limit_temperature=limit)
    ), day
