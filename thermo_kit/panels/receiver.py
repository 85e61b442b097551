"""The learner looks into a receiver-drier: level and bend, depth of the mouth, years of leakage, lift, water."""

from dataclasses import replace

from thermo_kit.charts import receiver as charts
from thermo_kit.charts.receiver_cutaway import cutaway_picture
from thermo_kit.components import receiver as parts
from thermo_kit.components.receiver.solve import inventory_after
from thermo_kit.fleet import part_of, title_of, vehicles_with
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.substances import Refrigerant, facts_of
from thermo_kit.substances.stream import stream_at
from thermo_kit.units import celsius

VAN = part_of("parcel_van", "receiver")
REFRIGERANTS = ("R-1234yf", "R-134a", "R-152a", "R-290")
SLIMMEST_WIDE = 0.25
LARGEST_FLOW = 0.08
YEARS = tuple(0.25 * step for step in range(61))
_LIFT_CONDENSING, _LIFT_INVENTORY = celsius(45), 0.08


def _vessel_name(vehicle):
    vessel = part_of(vehicle, "receiver")
    return f"{title_of(vehicle)[0]}, {'slim' if vessel.diameter < SLIMMEST_WIDE * vessel.height else 'wide'}"


def _hottest(settings):
    """Return how hot liquid and vapour still part well; → [K]."""
    return min(celsius(70), Refrigerant(settings.refrigerant).critical_temperature - 5.0)


def _flow(high=0.12):
    return number("Flow up the standpipe", 0.030, "mass_flow", 0.002, high)


def _bend(label="Sideways in the bend", default=0.0):
    return number(
        label, default, "acceleration", 0.0, 12.0, step=(0.1, 0.5),
        help="A brisk bend: 0.3 g, 2.9 m/s², 9.7 ft/s². A hard one: 0.6 g, 5.9 m/s², 19 ft/s².",
    )  # fmt: skip


_BORE = number("Bore of the standpipe", 0.008, "length", 0.004, 0.014, step=(0.0005, 0.02))
_REFRIGERANT = choice("Refrigerant", "R-1234yf", REFRIGERANTS)
_TOO_SHORT = number("Standpipe too short by", 0.0, "length", 0.0, 0.06, step=(0.001, 0.05), help="A wrong spare part.")


class _Warm:
    """What is in the receiver, and how warm."""

    condensing_temperature: float = degrees("Condensing temperature", 45, 20, _hottest)
    refrigerant: str = _REFRIGERANT

    def inside(self, vessel):
        """Return the way into the standpipe of a vessel."""
        return parts.pick_up(
            vessel=vessel,
            refrigerant=self.refrigerant,
            condensing_temperature=self.condensing_temperature,
            mass_flow=self.mass_flow,
        )


class _Vessel:
    """A receiver of the depot."""

    vessel: str = choice("Receiver", "parcel_van", [(_vessel_name(name), name) for name in vehicles_with("receiver")])

    @property
    def receiver(self):
        """The receiver that the settings choose, with its standpipe cut where they say so."""
        vessel = part_of(self.vessel, "receiver")
        cut = self.too_short
        return replace(vessel, standpipe_length=vessel.standpipe_length - cut) if cut else vessel


def _mass(end):
    """Limit a mass by what the chosen vessel holds without liquid (0) or when full (1); → function to [kg]."""
    # No flow enters these masses; the one that is set may be beyond its own limits.
    return lambda settings: replace(settings, mass_flow=0.03).inside(settings.receiver).masses()[end]


def _bend_text(acceleration, look):
    """Write a lateral acceleration, also as a share of gravity; [m/s²]."""
    if acceleration is None:
        return f"more than {look.text(15.0, 'acceleration')} (1.53 g)"
    return f"{look.text(acceleration, 'acceleration')} ({acceleration / 9.80665:.2f} g)"


@panel("A look into the receiver")
class ReceiverPanel(_Warm, _Vessel):
    """A cut-away receiver whose liquid moves."""

    inventory: float = number(
        "Refrigerant in the receiver", 0.060, "mass", _mass(0), _mass(1), step=(0.001, 0.05), decimals=1,
        help="Liquid and vapour together.",
    )  # fmt: skip
    lateral_acceleration: float = _bend()
    tilt: float = number("Slope of the ground", 0.0, "angle", 0.0, 0.5236, step=(0.0174533, 1))
    mass_flow: float = _flow()
    too_short: float = _TOO_SHORT

    def describe(self, look):
        """Look into the vessel."""
        liquid = stream_at(self.refrigerant, self.mass_flow, T=self.condensing_temperature, x=0.0)
        result = parts.solve_receiver(self.receiver, liquid, filled(parts.ReceiverConditions, self))
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
class ReceiverDepthPanel(_Warm):
    """Two published depths against flow."""

    mass_flow: float = _flow(LARGEST_FLOW)
    depth: float = number("Depth of the mouth", 0.030, "length", 0.0, 0.15, step=(0.001, 0.05))
    bore: float = _BORE
    lateral_acceleration: float = _bend()

    def describe(self, look):
        """Compare the depth with both published ones."""
        here, bend = self.inside(replace(VAN, standpipe_diameter=self.bore)), self.lateral_acceleration
        curves = parts.depth_curves(here, depth=self.depth, most=LARGEST_FLOW, lateral_acceleration=bend)
        notes = texts_of("ReceiverDepthPanel", look)
        return shows(charts.depth_picture(curves, look), rows_of("ReceiverDepthPanel", look, curves, here=here), notes)


def _usual(field, end):
    return lambda settings: getattr(part_of(settings.vessel, "usual_charge"), field)[end]


@panel("Charge plateau and years of leakage")
class ReceiverChargePanel(_Warm, _Vessel):
    """Plateau of the charge, and years of leakage."""

    charge: float = number(
        "Charge when filled", 0.560, "mass", _usual("charges", 0), _usual("charges", 1), step=(0.005, 0.2)
    )
    leak_per_year: float = number("Leakage in a year", 0.015, "mass", 0.0, 0.1, step=(0.001, 0.05), decimals=1)
    years: float = number("Years gone by", 0.0, "ratio", 0.0, YEARS[-1], step=0.1, decimals=1)
    lateral_acceleration: float = _bend("Sideways in the hardest bend", 6.0)
    mass_flow: float = _flow()
    held_elsewhere: float = number(
        "Held by all other parts", 0.430, "mass", _usual("elsewhere", 0), _usual("elsewhere", 1), step=(0.005, 0.2)
    )
    too_short: float = _TOO_SHORT

    def describe(self, look):
        """Follow the charge over the years."""
        spec = filled(parts.ChargeSpec, self, receiver=self.receiver)
        band = parts.charge_band(spec)
        pictures = (
            charts.band_picture(band, look, years=self.years),
            charts.years_picture(band, YEARS, parts.depth_over_years(spec, YEARS), look, at=self.years),
        )
        left, *places = band.after(self.years)
        then = charts.places_in_words(*places)
        in_vessel = inventory_after(spec, self.years, self.inside(spec.receiver).masses())
        rows = rows_of(
            "ReceiverChargePanel", look, band, spec, left=left, left_in=in_vessel, place_then=then,
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
        "Subcooling pass begins at", 0.210, "length", 0.0, 0.6, step=(0.005, 0.2),
        help="Above the floor of the receiver: low for a pass at the bottom, high for one at the top.",
    )  # fmt: skip
    mass_flow: float = _flow()
    bore: float = _BORE
    blocked: float = number("Filter blocked", 0.0, "percent", 0.0, 0.93)
    pass_subcooling: float = number("Subcooling of the pass", 8.0, "temperature_difference", 2.0, 20.0)
    refrigerant: str = _REFRIGERANT

    def describe(self, look):
        """Follow the pressure from the liquid's surface to the subcooling pass."""
        vessel = filled(VAN, self, standpipe_diameter=self.bore, filter_blocked_share=self.blocked)
        liquid = stream_at(self.refrigerant, self.mass_flow, T=_LIFT_CONDENSING, x=0.0)
        conditions = parts.ReceiverConditions(inventory=_LIFT_INVENTORY, pass_subcooling=self.pass_subcooling)
        lift = parts.solve_receiver(vessel, liquid, conditions).lift
        notes = texts_of("ReceiverLiftPanel", look, warm=_LIFT_CONDENSING, held=_LIFT_INVENTORY)
        return shows(charts.lift_picture(lift, look), rows_of("ReceiverLiftPanel", look, lift), notes)


@panel("Water in the desiccant")
class ReceiverWaterPanel:
    """Water balance of the desiccant."""

    open_hours: float = number("Hours open to the air", 0.0, "ratio", 0.0, 24.0, step=0.1, decimals=1)
    water_at_start: float = number("Water left at the start", 0.001, "mass", 0.0, 0.03, step=(0.0005, 0.01), decimals=2)
    ingress_per_year: float = number(
        "Water coming in each year", 0.0003, "mass", 0.0, 0.005, step=(0.0001, 0.005), decimals=2
    )
    desiccant_mass: float = number("Dry beads in the bag", 0.030, "mass", 0.005, 0.2)

    def describe(self, look):
        """Balance the water."""
        result = parts.moisture_balance(filled(parts.MoistureSpec, self))
        held, free = zip(*(parts.water_after(result, year) for year in YEARS), strict=True)
        picture = charts.water_picture(result, YEARS, held, free, look)
        full = "never" if result.years_left is None else f"{result.years_left:.1f} years"
        return shows(picture, rows_of("ReceiverWaterPanel", look, result, full=full), result.notes)
