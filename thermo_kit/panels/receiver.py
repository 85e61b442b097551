"""The learner looks into a receiver-drier: level and bend, depth of the mouth, years of leakage, lift, water."""

from dataclasses import replace

from thermo_kit.charts.receiver import (
    band_picture,
    depth_picture,
    lift_picture,
    places_in_words,
    water_picture,
    years_picture,
)
from thermo_kit.charts.receiver_cutaway import cutaway_picture
from thermo_kit.components.receiver import (
    ChargeSpec,
    MoistureSpec,
    ReceiverConditions,
    charge_band,
    depth_curves,
    depth_over_years,
    moisture_balance,
    pick_up,
    solve_receiver,
    water_after,
)
from thermo_kit.components.receiver.solve import inventory_after
from thermo_kit.fleet import part_of, title_of, vehicles_with
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import SHARE, choice, degrees, filled, number, panel
from thermo_kit.substances import Refrigerant, facts_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
SLIMMEST_WIDE = 0.25
LARGEST_FLOW = 0.08
YEARS = tuple(0.25 * step for step in range(61))
_LIFT_CONDENSING, _LIFT_INVENTORY = celsius(45), 0.08


def _refrigerant():
    return choice("Refrigerant", "R-1234yf", REFRIGERANTS)


def _vessel():
    return choice("Receiver", "parcel_van", [(_vessel_name(name), name) for name in vehicles_with("receiver")])


def _vessel_name(vehicle):
    vessel = part_of(vehicle, "receiver")
    return f"{title_of(vehicle)[0]}, {'slim' if vessel.diameter < SLIMMEST_WIDE * vessel.height else 'wide'}"


def _too_short():
    return number(
        "Standpipe too short by", 0.0, "length", 0.0, 0.06, step=0.001, us_step=0.05, help="A wrong spare part."
    )  # fmt: skip


def _condensing():
    return degrees("Condensing temperature", 45, 20, _hottest)


def _hottest(settings):
    """Return how hot liquid and vapour still part well; → [K]."""
    return min(celsius(70), Refrigerant(settings.refrigerant).critical_temperature - 5.0)


def _flow(high=0.12):
    return number("Flow up the standpipe", 0.030, "mass_flow", 0.002, high, step=0.001, us_step=0.1)


def _bend(label, default=0.0):
    return number(
        label, default, "acceleration", 0.0, 12.0, step=0.1, us_step=0.5,
        help="A brisk bend: 0.3 g, 2.9 m/s², 9.7 ft/s². A hard one: 0.6 g, 5.9 m/s², 19 ft/s².",
    )  # fmt: skip


def _bore():
    return number("Bore of the standpipe", 0.008, "length", 0.004, 0.014, step=0.0005, us_step=0.02)


def _vessel_of(settings):
    """Return the receiver that the settings choose, with its standpipe cut where they say so."""
    vessel = part_of(settings.vessel, "receiver")
    cut = settings.too_short
    return replace(vessel, standpipe_length=vessel.standpipe_length - cut) if cut else vessel


def _inside(settings, vessel):
    return pick_up(
        vessel=vessel,
        refrigerant=settings.refrigerant,
        condensing_temperature=settings.condensing_temperature,
        mass_flow=settings.mass_flow,
    )


def _mass(end):
    """Limit a mass by what the chosen vessel holds without liquid (0) or when full (1); → function to [kg]."""

    def limit(settings):
        # No flow enters these masses; the one that is set may be beyond its own limits.
        return _inside(replace(settings, mass_flow=0.03), _vessel_of(settings)).masses()[end]

    return limit


def _bend_text(acceleration, look):
    """Write a lateral acceleration, also as a share of gravity; [m/s²]."""
    if acceleration is None:
        return f"more than {look.text(15.0, 'acceleration')} (1.53 g)"
    return f"{look.text(acceleration, 'acceleration')} ({acceleration / 9.80665:.2f} g)"


@panel("A look into the receiver")
class ReceiverPanel:
    """A cut-away receiver whose liquid moves."""

    inventory: float = number(
        "Refrigerant in the receiver", 0.060, "mass", _mass(0), _mass(1), step=0.001, us_step=0.05, decimals=1,
        help="Liquid and vapour together.",
    )  # fmt: skip
    lateral_acceleration: float = _bend("Sideways in the bend")
    tilt: float = number("Slope of the ground", 0.0, "angle", 0.0, 0.5236, step=0.0174533, us_step=1)
    mass_flow: float = _flow()
    too_short: float = _too_short()
    condensing_temperature: float = _condensing()
    refrigerant: str = _refrigerant()
    vessel: str = _vessel()

    def describe(self, look):
        """Look into the vessel."""
        result = solve_receiver(
            _vessel_of(self),
            stream_at(self.refrigerant, self.mass_flow, T=self.condensing_temperature, x=0.0),
            filled(ReceiverConditions, self),
        )  # fmt: skip
        picture = cutaway_picture(result, look)

        dips, unsafe = (_bend_text(a, look) for a in (result.uncovering_acceleration, result.safe_acceleration))
        notes = (*result.notes, facts_of(self.refrigerant).caution)
        return shows(picture, rows_of("ReceiverPanel", look, result, dips=dips, unsafe=unsafe), notes)

    def follow(self, changed):
        """Keep the mass in the receiver between empty and full when vessel, refrigerant or temperature change."""
        if changed not in ("vessel", "refrigerant", "condensing_temperature"):
            return {}
        return {"inventory": min(max(self.inventory, _mass(0)(self)), _mass(1)(self))}


@panel("How deep must the mouth lie?")
class ReceiverDepthPanel:
    """Two published depths against flow."""

    mass_flow: float = _flow(LARGEST_FLOW)
    depth: float = number("Depth of the mouth", 0.030, "length", 0.0, 0.15, step=0.001, us_step=0.05)
    bore: float = _bore()
    lateral_acceleration: float = _bend("Sideways in the bend")
    condensing_temperature: float = _condensing()
    refrigerant: str = _refrigerant()

    def describe(self, look):
        """Compare the depth with both published ones."""
        here = _inside(self, replace(part_of("parcel_van", "receiver"), standpipe_diameter=self.bore))
        curves = depth_curves(
            here, depth=self.depth, most=LARGEST_FLOW, lateral_acceleration=self.lateral_acceleration
        )  # fmt: skip
        notes = texts_of("ReceiverDepthPanel", look)
        return shows(depth_picture(curves, look), rows_of("ReceiverDepthPanel", look, curves, here=here), notes)


def _usual(field, end):
    return lambda settings: getattr(part_of(settings.vessel, "usual_charge"), field)[end]


@panel("Charge plateau and years of leakage")
class ReceiverChargePanel:
    """Plateau of the charge, and years of leakage."""

    charge: float = number(
        "Charge when filled", 0.560, "mass", _usual("charges", 0), _usual("charges", 1), step=0.005, us_step=0.2
    )  # fmt: skip
    leak_per_year: float = number(
        "Leakage in a year", 0.015, "mass", 0.0, 0.1, step=0.001, us_step=0.05, decimals=1
    )  # fmt: skip
    years: float = number("Years gone by", 0.0, "ratio", 0.0, YEARS[-1], step=0.1, decimals=1)
    lateral_acceleration: float = _bend("Sideways in the hardest bend", 6.0)
    mass_flow: float = _flow()
    held_elsewhere: float = number(
        "Held by all other parts", 0.430, "mass", _usual("elsewhere", 0), _usual("elsewhere", 1), step=0.005,
        us_step=0.2,
    )  # fmt: skip
    too_short: float = _too_short()
    condensing_temperature: float = _condensing()
    refrigerant: str = _refrigerant()
    vessel: str = _vessel()

    def describe(self, look):
        """Follow the charge over the years."""
        spec = filled(ChargeSpec, self, receiver=_vessel_of(self))
        band = charge_band(spec)
        pictures = (
            band_picture(band, look, years=self.years),
            years_picture(band, YEARS, depth_over_years(spec, YEARS), look, at=self.years),
        )
        left, *places = band.after(self.years)
        in_vessel = inventory_after(spec, self.years, _inside(self, spec.receiver).masses())

        rows = rows_of(
            "ReceiverChargePanel", look, band, spec, left=left, left_in=in_vessel, place_then=places_in_words(*places),
            reserve=_years(band.years_safe, band.bend_years_safe),
            bubble=_years(band.years_to_bubble, band.bend_years_to_bubble),
        )  # fmt: skip
        sentence = f"{pictures[0].sentence} {pictures[1].sentence}"
        return Description(pictures, sentence, rows, (*band.notes, *texts_of("ReceiverChargePanel", look)))

    def follow(self, changed):
        """Take usual charge, leakage and flow along when a vessel is chosen that the present charge does not fit."""
        usual = part_of(self.vessel, "usual_charge")
        if changed != "vessel" or usual.charges[0] <= self.charge <= usual.charges[1]:
            return {}
        return {name: getattr(usual, name) for name in ("charge", "held_elsewhere", "leak_per_year", "mass_flow")}


def _years(level, bend):
    return " / ".join("never" if years is None else f"{years:.1f} years" for years in (level, bend))


@panel("What the way up costs")
class ReceiverLiftPanel:
    """Pressure lost on the way up, and what boils."""

    outlet_height: float = number(
        "Subcooling pass begins at", 0.210, "length", 0.0, 0.6, step=0.005, us_step=0.2,
        help="Above the floor of the receiver: low for a pass at the bottom, high for one at the top.",
    )  # fmt: skip
    mass_flow: float = _flow()
    bore: float = _bore()
    blocked: float = number("Filter blocked", 0.0, low=0.0, high=0.93, us_step=1, **SHARE)
    pass_subcooling: float = number(
        "Subcooling of the pass", 8.0, "temperature_difference", 2.0, 20.0, step=0.5, us_step=1
    )  # fmt: skip
    refrigerant: str = _refrigerant()

    def describe(self, look):
        """Follow the pressure from the liquid's surface to the subcooling pass."""
        vessel = replace(
            part_of("parcel_van", "receiver"),
            standpipe_diameter=self.bore,
            outlet_height=self.outlet_height,
            filter_blocked_share=self.blocked,
        )
        lift = solve_receiver(
            vessel,
            stream_at(self.refrigerant, self.mass_flow, T=_LIFT_CONDENSING, x=0.0),
            ReceiverConditions(inventory=_LIFT_INVENTORY, pass_subcooling=self.pass_subcooling),
        ).lift
        notes = texts_of("ReceiverLiftPanel", look, warm=_LIFT_CONDENSING, held=_LIFT_INVENTORY)
        return shows(lift_picture(lift, look), rows_of("ReceiverLiftPanel", look, lift), notes)


@panel("Water in the desiccant")
class ReceiverWaterPanel:
    """Water balance of the desiccant."""

    open_hours: float = number("Hours open to the air", 0.0, "ratio", 0.0, 24.0, step=0.1, decimals=1)
    water_at_start: float = number(
        "Water left at the start", 0.001, "mass", 0.0, 0.03, step=0.0005, us_step=0.01, decimals=2
    )  # fmt: skip
    ingress_per_year: float = number(
        "Water coming in each year", 0.0003, "mass", 0.0, 0.005, step=0.0001, us_step=0.005, decimals=2
    )  # fmt: skip
    desiccant_mass: float = number("Dry beads in the bag", 0.030, "mass", 0.005, 0.2, step=0.005, us_step=0.1)

    def describe(self, look):
        """Balance the water."""
        result = moisture_balance(filled(MoistureSpec, self))
        held, free = zip(*(water_after(result, year) for year in YEARS), strict=True)
        picture = water_picture(result, YEARS, held, free, look)

        full = "never" if result.years_left is None else f"{result.years_left:.1f} years"
        return shows(picture, rows_of("ReceiverWaterPanel", look, result, full=full), result.notes)
