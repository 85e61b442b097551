"""Two vents behind one coil: a fault of the refrigerant side drives them apart, one of the air side moves both."""

from dataclasses import dataclass, replace

from thermo_kit.components.evaporator import EvaporatorConditions, EvaporatorResult, EvaporatorSpec, solve_evaporator
from thermo_kit.substances.moist_air import AirState, air_state, moist_enthalpy
from thermo_kit.units import Checks, celsius

VENT_FAULTS = ("none", "starved coil", "damper leaks", "slow blower", "blocked fins")
"""What can be wrong behind the dashboard, as a technician names it."""

HEATER_AIR = celsius(55)
"""Air that has gone through the hot heater; invented."""
READABLE = 1.0
"""Two thermometers good to half a kelvin each cannot tell apart what differs by less [K]; invented."""

_MOST_LEAK = 0.5
_LEAST_BLOWER = 0.2
_MOST_BLOCKED = 0.9
_LEFT_OVER = 2.0


@dataclass(frozen=True, kw_only=True)
class TwoVents:
    """Two vents, each fed by one half of the face of the coil, SI.

    coil: the solved coil; left: vent behind the half in which the liquid comes in;
    right: vent behind the half in which the vapour leaves; mixed: both together;
    difference: right minus left [K]; heated_share: part of the air that has gone through the heater;
    air_flow: at the inlet [m³/s]
    """

    coil: EvaporatorResult
    left: AirState
    right: AirState
    mixed: AirState
    difference: float
    heated_share: float
    air_flow: float


@dataclass(frozen=True, kw_only=True)
class VentCase:
    """A fault beside the sound coil.

    fault: one of `VENT_FAULTS`; size: 0 to 1 [-]; sound, faulty: both pairs of vents;
    pattern: "as sound", "drift apart", "both warmer" or "both colder"; side: what the pattern speaks for
    """

    fault: str
    size: float
    sound: TwoVents
    faulty: TwoVents
    pattern: str
    side: str


def two_vents(coil: EvaporatorSpec, conditions: EvaporatorConditions, *, fault: str = "none", size: float = 0.3):
    """Return both vents with a fault, beside those of the sound coil.

    Parameters
    ----------
    coil : EvaporatorSpec. The sound coil.
    conditions : EvaporatorConditions. The sound conditions.
    fault : str. One of `VENT_FAULTS`.
    size : float, [-]
        0 to 1. Starved: superheat from the sound one to 2 K below all that the air allows. Damper: up to half of
        the air goes through the heater. Blower: down to a fifth of its flow. Fins: up to 90 % of the face blocked.

    Returns: VentCase. Both pairs of vents, the pattern and the side it speaks for. Raises OutOfRangeError if the fault
        is unknown, its size is out of range, or the coil refuses its conditions.

    Notes: A balance of energy and water over two halves of one face, each with half of the air; where vapour only warms
        lies in the right half first. The evaporating temperature is held, as a controlled compressor does. The damper
        mixes its warm air evenly into both vents; a vehicle with one damper for each side warms one vent only.

    Examples
    --------
    >>> from thermo_kit.fleet import part_of
    >>> coil, day = part_of("parcel_van", "evaporator"), part_of("parcel_van", "evaporator_conditions")
    >>> two_vents(coil, day, fault="starved coil", size=0.5).pattern
    'drift apart'
    """
    with Checks() as checks:
        checks.one_of("fault", fault, VENT_FAULTS)
        advice = "a share runs from 0 to 1: 30 % is 0.3"
        checks.within("size of the fault", size, 0.0, 1.0, kind="ratio", advice=advice)
    sound = _vents(coil, conditions, 0.0)
    faulty = _vents(*_with_fault(coil, conditions, fault, size)) if fault != "none" and size > 0.0 else sound
    left, right = faulty.left.T - sound.left.T, faulty.right.T - sound.right.T
    pattern, side = _judge(left, right, faulty.air_flow / sound.air_flow)
    return VentCase(fault=fault, size=size, sound=sound, faulty=faulty, pattern=pattern, side=side)


def _with_fault(coil, conditions, fault, size):
    if fault == "starved coil":
        room = conditions.air_temperature - conditions.evaporating_temperature - _LEFT_OVER
        own = conditions.superheat
        starved = min(own + size * max(room - own, 0.0), 40.0)
        return coil, replace(conditions, superheat=starved), 0.0
    if fault == "slow blower":
        return coil, replace(conditions, air_flow=conditions.air_flow * (1.0 - size * (1.0 - _LEAST_BLOWER))), 0.0
    if fault == "blocked fins":
        blocked = coil.blocked_share + size * (_MOST_BLOCKED - coil.blocked_share)
        return replace(coil, blocked_share=blocked), conditions, 0.0
    return coil, conditions, size * _MOST_LEAK


def _vents(coil, conditions, heated):
    result = solve_evaporator(coil, conditions)
    wet, dry, share = result.wet_side, result.dry_side or result.wet_side, result.superheated_share
    p = conditions.air_pressure
    # The superheated part fills the right half first and only then reaches into the left one.
    right = _mixed(wet, dry, min(2.0 * share, 1.0), p)
    left = _mixed(wet, dry, max(2.0 * share - 1.0, 0.0), p)
    left, right, mixed = (_heated(air, heated, p) for air in (left, right, result.vent))
    return TwoVents(
        coil=result,
        left=left,
        right=right,
        mixed=mixed,
        difference=right.T - left.T,
        heated_share=heated,
        air_flow=result.air_flow,
    )


def _mixed(first, second, share, p):
    h = (1.0 - share) * first.h + share * second.h
    return air_state(h, (1.0 - share) * first.humidity_ratio + share * second.humidity_ratio, p)


def _heated(air, share, p):
    # The heater adds no water: the part that goes through it keeps its humidity ratio.
    warm = moist_enthalpy(max(HEATER_AIR, air.T), air.humidity_ratio)
    return air_state((1.0 - share) * air.h + share * warm, air.humidity_ratio, p)


def _judge(left, right, flow_ratio):
    # Only the refrigerant side warms the right vent more than the left; warm air for both brings them together.
    if right - left >= READABLE:
        return "drift apart", "refrigerant side"
    mean = 0.5 * (left + right)
    moved = abs(mean) >= 0.5 * READABLE
    pattern = "as sound" if not moved else "both warmer" if mean > 0 else "both colder"
    return pattern, "air side" if moved or flow_ratio < 0.9 else "no fault seen"
