"""The learner lets the years and the leakage take refrigerant away and sees when the first bubble goes up."""

from dataclasses import dataclass

from thermo_kit.components.receiver import ChargeSpec, charge_band, depth_over_years, pick_up
from thermo_kit.components.receiver.charge import inventory_after
from thermo_kit.panels.controls import NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.panels.receiver_parts import (
    CONDENSING_CONTROL,
    REFRIGERANT_CONTROL,
    TOO_SHORT_CONTROL,
    VESSEL_CONTROL,
    VesselSettings,
    bend_control,
    flow_control,
    vessel_of,
)

LONGEST = 15.0
_YEARS = tuple(0.25 * step for step in range(61))


@dataclass(frozen=True, kw_only=True)
class ChargeSettings(VesselSettings):
    """Those of a vessel; charge when filled and what other parts hold [kg], leak [kg a year], years gone by."""

    charge: float = 0.560
    held_elsewhere: float = 0.430
    leak_per_year: float = 0.015
    lateral_acceleration: float = 6.0
    years: float = 0.0


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.receiver_charge import band_picture, places_in_words, years_picture

    vessel, state = vessel_of(settings), {field: getattr(settings, field) for field in _STATE}
    spec = ChargeSpec(
        receiver=vessel,
        **state,
        charge=settings.charge,
        held_elsewhere=settings.held_elsewhere,
        leak_per_year=settings.leak_per_year,
        lateral_acceleration=settings.lateral_acceleration,
    )
    band = charge_band(spec)
    pictures = (
        band_picture(band, look, years=settings.years),
        years_picture(band, _YEARS, depth_over_years(spec, _YEARS), look, at=settings.years),
    )
    left, *places = band.after(settings.years)
    in_vessel = inventory_after(spec, settings.years, pick_up(vessel=vessel, **state).masses())
    rows = (
        ("Charge when filled", f"{look.text(spec.charge, 'mass')}: {band.place}"),
        ("In the receiver when filled", look.text(band.inventory, "mass")),
        ("Charge after the years gone by", f"{look.text(left, 'mass')}: {places_in_words(*places)}"),
        ("In the receiver after the years gone by", look.text(in_vessel, "mass")),
        ("Plateau, standing level", f"{look.text(band.safe_charge, 'mass')} to {look.text(band.full_charge, 'mass')}"),
        ("Width of the plateau", look.text(band.band, "mass")),
        ("Plateau in the bend begins at", look.text(band.bend_safe_charge, "mass")),
        ("Surface dips in, standing level", look.text(band.onset_charge, "mass")),
        ("Surface dips in, in the bend", look.text(band.bend_onset_charge, "mass")),
        ("Reserve ends, level / in the bend", _years(band.years_safe, band.bend_years_safe)),
        ("First bubble at the latest, level / in the bend", _years(band.years_to_bubble, band.bend_years_to_bubble)),
    )
    return Description(pictures, f"{pictures[0].sentence} {pictures[1].sentence}", rows, (*band.notes, _HOLD))


_STATE = ("refrigerant", "condensing_temperature", "mass_flow")
_HOLD = (
    "The other parts are taken to hold the same all the time; "
    "on another day they hold more or less, and the band moves."
)


def _years(level, bend):
    return " / ".join("never" if years is None else f"{years:.1f} years" for years in (level, bend))


_USUAL = {
    "van": {"charge": 0.560, "held_elsewhere": 0.430, "leak_per_year": 0.015, "mass_flow": 0.030},
    "shuttle bus": {"charge": 1.700, "held_elsewhere": 1.250, "leak_per_year": 0.040, "mass_flow": 0.060},
}
"""Invented vehicles that go with the two vessels."""
_CHARGES = {"van": (0.45, 0.75), "shuttle bus": (1.3, 2.4)}
_ELSEWHERE = {"van": (0.2, 0.6), "shuttle bus": (0.8, 1.6)}


def follow(settings, changed):
    """Take the usual charge, leakage and flow along when a vessel is chosen that the present charge does not fit."""
    if changed != "vessel" or _CHARGES[settings.vessel][0] <= settings.charge <= _CHARGES[settings.vessel][1]:
        return {}
    return _USUAL[settings.vessel]


def _end(limits, which):
    return lambda settings: limits[settings.vessel][which]


class ReceiverChargePanel(Panel):
    """Plateau of the charge, and years of leakage."""

    title = "Charge plateau and years of leakage"
    Settings = ChargeSettings
    controls = (
        NumberControl(
            "charge",
            "Charge when filled",
            "mass",
            low=_end(_CHARGES, 0),
            high=_end(_CHARGES, 1),
            step=0.005,
            us_step=0.2,
        ),
        NumberControl(
            "leak_per_year", "Leakage in a year", "mass", low=0.0, high=0.1, step=0.001, us_step=0.05, decimals=1
        ),
        NumberControl("years", "Years gone by", "ratio", low=0.0, high=LONGEST, step=0.1, decimals=1),
        bend_control("Sideways in the hardest bend"),
        flow_control(),
        NumberControl(
            "held_elsewhere",
            "Held by all other parts",
            "mass",
            low=_end(_ELSEWHERE, 0),
            high=_end(_ELSEWHERE, 1),
            step=0.005,
            us_step=0.2,
        ),
        TOO_SHORT_CONTROL,
        CONDENSING_CONTROL,
        REFRIGERANT_CONTROL,
        VESSEL_CONTROL,
    )
    describe = staticmethod(describe)
    follow = staticmethod(follow)
