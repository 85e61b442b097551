"""How sound vehicles of one kind differ from each other, and how well the day of a measurement is known."""

from thermo_kit.systems.vehicle.faults import changed
from thermo_kit.units.spec import asked_of

SCATTER = (
    ("charge", 0.03, 0.0), ("blower_flow", 0.05, 0.0), ("hold_pressure", 0.02, 0.0), ("usual_speed", 0.02, 0.0),
    ("condenser.tube_length", 0.03, 0.0), ("evaporator.air_conductance", 0.05, 0.0),
    ("expansion_valve.spring_preload", 0.04, 0.0), ("electronic_valve.superheat_target", 0.0, 0.5),
    ("orifice.diameter", 0.015, 0.0), ("compressor.displacement", 0.02, 0.0), ("compressor.leakage_area", 0.2, 0.0),
    ("belt_compressor.displacement", 0.02, 0.0), ("belt_compressor.isentropic_efficiency", 0.03, 0.0),
    ("day.fan_speed_share", 0.04, 0.0), ("day.ambient_temperature", 0.0, 0.7),
    ("day.cabin_temperature", 0.0, 0.7), ("day.relative_humidity", 0.1, 0.0),
)  # fmt: skip
"""Place, as `changed` takes it, and one standard deviation, as a share and in SI: our own choice, no source."""


def scattered(spec, day, draws):
    """Return a vehicle and a day that lie so many standard deviations off, one number for each row of `SCATTER`.

    Parameters
    ----------
    spec : VehicleSpec. The vehicle as drawn.
    day : Conditions. The day as read.
    draws : sequence of float, [-]. Standard deviations.

    Returns: tuple. Vehicle and day, within the ranges of their fields.

    Notes: Definition; a part that the vehicle does not have is passed over.
    """
    for (place, share, fixed), draw in zip(SCATTER, draws, strict=True):
        part, _, field = place.rpartition(".")
        owner = {"": spec, "day": day}.get(part) or getattr(spec, part)
        if owner is None or draw == 0.0:
            continue
        old, asked = getattr(owner, field), asked_of(type(owner))[field]
        moved = min(max(old + (share * old + fixed) * draw, asked.low), asked.high)
        spec, day = changed(spec, day, place, lambda _old, new: new, moved)
    return spec, day
