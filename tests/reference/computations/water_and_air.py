"""Water under vacuum, moist air and the standard atmosphere."""

from thermo_kit.substances import moist_air, water_boiling_temperature
from thermo_kit.units import STANDARD_ATMOSPHERE, parse_quantity


def boiling_temperature_at_reading(number, sign):
    return water_boiling_temperature(parse_quantity(f"{number} {sign}", "Pa"))


def air(T, name, p=STANDARD_ATMOSPHERE, **moisture):
    return getattr(moist_air(T=T, p=p, **moisture), name)


def room_air(T, p, relative_humidity, volume, name):
    state = moist_air(T=T, p=p, relative_humidity=relative_humidity)
    dry = state.density * volume / (1.0 + state.humidity_ratio)
    return {"dry_air": dry, "vapour": dry * state.humidity_ratio}[name]


def water_lost_on_cooling(T, p, relative_humidity, volume, to):
    before = moist_air(T=T, p=p, relative_humidity=relative_humidity)
    after = moist_air(T=to, p=p, relative_humidity=1.0)
    dry = before.density * volume / (1.0 + before.humidity_ratio)
    return dry * (before.humidity_ratio - after.humidity_ratio)


def parsed(number, sign, expected):
    """What a typed reading is worth; the sign is the trade's, not the unit library's."""
    return parse_quantity(f"{number} {sign}", expected)
