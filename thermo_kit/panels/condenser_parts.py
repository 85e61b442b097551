"""What the condenser's panels share: cores, receiver places, dirt, and how a list of tubes is typed."""

import re
from dataclasses import replace

from thermo_kit.components.condenser import AirConditions, CompressorDuty, shuttle_bus_core, van_core, with_fin_density
from thermo_kit.components.louvered_fins import fins_per_inch
from thermo_kit.errors import InputError, Problem
from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.units import UnitSystem, atmosphere_pressure, celsius

VEHICLES = (("parcel van, R-1234yf", "van"), ("shuttle bus, R-134a", "shuttle bus"))
MADE = {"van": van_core, "shuttle bus": shuttle_bus_core}
REFRIGERANTS = {"van": "R-1234yf", "shuttle bus": "R-134a"}
COOLING = {"van": 4500.0, "shuttle bus": 14000.0}
COOLING_LIMITS = {"van": (1000.0, 7000.0), "shuttle bus": (4000.0, 20000.0)}
FLOWS = {"van": 0.042, "shuttle bus": 0.105}
FLOW_LIMITS = {"van": (0.010, 0.080), "shuttle bus": (0.030, 0.200)}
WITHOUT_RECEIVER = 6.0
"""Subcooling of a core without receiver [K]; invented, near what such systems show."""

BEFORE_LAST, AFTER_LAST, NONE = -1, -2, 0
RECEIVER_PLACES = (
    ("before the last pass", BEFORE_LAST),
    ("after the last pass", AFTER_LAST),
    *((f"after pass {number}", number) for number in range(1, 12)),
    ("no receiver", NONE),
)
FEWEST, MOST = fins_per_inch(12), fins_per_inch(40)
PATCHES = {
    "all over the face": None,
    "in the lowest sixth": (0, 0, 0, 0, 0, 1),
    "in the lower third": (0, 0, 1),
    "in the upper third": (1, 0, 0),
}
AIR_PROFILES = {"even": (1.0,), "weak in the lower half": (1.3, 0.7), "weak in the upper half": (0.7, 1.3)}


def usual_of(vehicle):
    """Return what is usual for a vehicle, by the names that settings have for it."""
    core = MADE[vehicle]()
    fins = core.fins.fin_density
    return {
        "tubes": core.tubes, "first_tubes": core.tubes, "second_tubes": core.tubes, "fin_density": fins,
        "first_fins": fins, "second_fins": 0.8 * fins, "cooling": COOLING[vehicle], "mass_flow": FLOWS[vehicle],
    }  # fmt: skip


def follow_vehicle(settings, changed):
    """Take along what was usual for another vehicle, when a vehicle is chosen; what the learner set stays."""
    if changed != "vehicle":
        return {}
    others = [usual_of(name) for name in MADE if name != settings.vehicle]
    here = usual_of(settings.vehicle)
    return {
        name: value
        for name, value in here.items()
        if hasattr(settings, name) and any(getattr(settings, name) == other[name] for other in others)
    }


def receiver_fits(settings, place):
    """Say whether the core has a pass for this place of the receiver."""
    return place <= len(settings.tubes) and (place != BEFORE_LAST or len(settings.tubes) > 1)


def read_tubes(text):
    """Read the tubes of each pass from what a learner typed."""
    words = [word for word in re.split(r"[\s,;+/-]+", text.strip()) if word]
    if not words or not all(word.isascii() and word.isdigit() for word in words):
        raise InputError(
            Problem(
                "tubes in each pass", f'"{text}"', "is not a list of whole numbers",
                "write one number for each pass, in flow order, for example 17, 10, 6",
            )
        )  # fmt: skip
    return tuple(int(word) for word in words)


def write_tubes(tubes):
    """Write the tubes of each pass as a learner types them."""
    return ", ".join(str(count) for count in tubes)


def receiver_pass(place, tubes):
    """Return the pass after which the receiver sits."""
    if place == NONE:
        return None
    if place == AFTER_LAST:
        return len(tubes)
    if place == BEFORE_LAST:
        if len(tubes) < 2:
            raise InputError(
                Problem(
                    "receiver", "before the last pass", "needs two passes or more",
                    "add a pass, or set the receiver after the last pass",
                )
            )  # fmt: skip
        return len(tubes) - 1
    return place


def core_of(settings):
    """Return the core that the settings describe."""
    core = MADE[settings.vehicle]()
    changes = {}
    if hasattr(settings, "tubes"):
        changes["tubes"] = settings.tubes
        changes["receiver_after"] = receiver_pass(getattr(settings, "receiver", BEFORE_LAST), settings.tubes)
    changes["subcooling_pass_at"] = getattr(settings, "last_pass_at", "bottom")
    changes["air_profile"] = AIR_PROFILES[getattr(settings, "air_profile", "even")]
    core = replace(core, **changes)
    if hasattr(settings, "fin_density"):
        core = with_fin_density(core, settings.fin_density)
    return with_dirt(core, getattr(settings, "blocked", 0.0), getattr(settings, "blocked_where", "all over the face"))


def with_dirt(core, share, where="all over the face"):
    """Return a core with dirt on its face; share [-]."""
    bands = PATCHES[where]
    if bands is None:
        return replace(core, blocked_fraction=share)
    return replace(core, blocked_profile=tuple(share * band for band in bands))


def air_of(settings, look):
    """Return the air in front of the core, at the altitude of the workshop."""
    return AirConditions(
        temperature=settings.air_temperature,
        pressure=atmosphere_pressure(look.altitude),
        fan_speed_share=settings.fan_speed,
        driving_speed=settings.driving_speed,
    )


def duty_of(settings):
    """Return what the circuit asks for."""
    return CompressorDuty(
        refrigerant=REFRIGERANTS[settings.vehicle],
        evaporating_temperature=celsius(5),
        cooling_capacity=settings.cooling,
    )


def subcooling_of(core):
    """Return the subcooling that a core without receiver is charged to; → [K]."""
    return None if core.receiver_after is not None else WITHOUT_RECEIVER


def fin_control(field, label, **more):
    """Make the control of a fin density."""
    return NumberControl(
        field, label, "fin_density", low=FEWEST, high=MOST, step=fins_per_inch(0.5), us_step=0.5, decimals=1, **more
    )  # fmt: skip


def air_controls(*, slider=True):
    """Make the controls of air, fan and driving."""
    return (
        NumberControl(
            "air_temperature", "Air in front of the core", "temperature",
            low=celsius(15), high=celsius(50), step=0.5, us_step=1, slider=slider,
        ),
        NumberControl(
            "fan_speed", "Fan speed, of full speed", "percent", low=0.2, high=1.2, step=0.05, us_step=5, decimals=0,
            slider=slider,
        ),
        NumberControl(
            "driving_speed", "Driving speed", "velocity", low=0.0, high=30.0, step=0.5, us_step=2, decimals=1,
            help="0 is idle. 14 m/s (46 ft/s) is about 50 km/h. Beside a slow fan the wind counts too little here.",
            slider=slider,
        ),
    )  # fmt: skip


def cooling_control(*, slider=True):
    """Make the control of the cooling that is asked for."""
    return NumberControl(
        "cooling", "Cooling asked for", "power", low=lambda s: COOLING_LIMITS[s.vehicle][0],
        high=lambda s: COOLING_LIMITS[s.vehicle][1], step=100.0, us_step=250, slider=slider,
    )  # fmt: skip


def shift_text(first, second, kind, look):
    """Write second minus first with its sign, a pressure in the unit the gauges show.

    first [SI unit of the kind], second [SI unit of the kind].
    """
    if kind == "pressure":
        si = look.system is UnitSystem.SI
        text = f"{look.number(second, kind) - look.number(first, kind):+.{2 if si else 1}f} {'bar' if si else 'psi'}"
    elif kind == "temperature":
        text = look.text(second - first, "temperature_difference")
    else:
        text = look.text(second - first, kind)
    bare = text.lstrip("+-−")
    if not any(digit in bare for digit in "123456789"):
        return bare
    return f"{'−' if second < first else '+'}{bare}"


VEHICLE_CONTROL = ChoiceControl("vehicle", "Vehicle", VEHICLES)
RECEIVER_CONTROL = ChoiceControl("receiver", "Receiver sits", RECEIVER_PLACES, fits=receiver_fits)
HELD = (
    "Held: evaporating at 5 °C (41 °F), 5 K (9 °F) superheat, isentropic efficiency 0.65. "
    "On a vehicle the evaporating temperature drifts too; only a model of the whole vehicle gives the vent temperature."
)
