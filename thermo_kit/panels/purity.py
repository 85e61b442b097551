"""The learner judges a cylinder: air, another refrigerant, how full, how long it must rest."""

from bisect import bisect_left

from thermo_kit import service
from thermo_kit.charts.service import air_picture, blend_picture, fill_picture, rest_picture
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.service import CylinderReading
from thermo_kit.units import celsius

REFRIGERANTS = ("R-134a", "R-1234yf", "R-152a", "R-290")
TWO = (("R-1234yf in R-134a", "R-134a"), ("R-134a in R-1234yf", "R-1234yf"))
CLOCKS = (("the first 3 hours", 3 * 3600.0), ("12 hours", 12 * 3600.0), ("2 days", 48 * 3600.0))
TEMPERATURES = tuple(celsius(2.5 * i) for i in range(21))
_HURTS = "Gloves and goggles: liquid refrigerant freezes skin and eyes. Never vent it."


_GAUGE = number("Accuracy of the gauge", 1e4, of=CylinderReading, low=1e3, high=1e5, step=1e3)
_THERMOMETER = number("Accuracy of the thermometer", 1.0, of=CylinderReading, low=0.1, high=5.0, step=0.1)


@panel("Is there air in the cylinder?")
class CylinderAirPanel:
    """Gauge and thermometer at a cylinder, and whether they can show air."""

    pressure: float = number("Gauge on the cylinder", 8.2e5, "pressure", 1e5, 3e6, step=(1e4, 1))
    temperature: float = degrees("Temperature of the cylinder", 25, 0, 50)
    pressure_accuracy: float = _GAUGE
    temperature_accuracy: float = _THERMOMETER
    time_at_rest: float = number("Time at rest", 12 * 3600.0, "hours", 0.0, 48 * 3600.0, step=3600.0, decimals=0)
    refrigerant: str = choice("Refrigerant on the label", "R-134a", REFRIGERANTS)

    def describe(self, look):
        """Judge by pressure and temperature."""
        result = service.air_in_cylinder(filled(CylinderReading, self))
        picture = air_picture(result, TEMPERATURES, service.air_limits(self.refrigerant, TEMPERATURES), look)
        return shows(picture, rows_of("CylinderAirPanel", look, result), (*result.notes, _HURTS))


@panel("Something else in it")
class BlendPanel:
    """Two refrigerants in one cylinder, and what a gauge can see of it."""

    share: float = number("Share of the other, by mass", 0.05, "percent", 0.0, 1.0, step=0.005, decimals=1)
    temperature: float = degrees("Temperature of the cylinder", 25, -10, 60)
    pressure_accuracy: float = _GAUGE
    temperature_accuracy: float = _THERMOMETER
    label: str = choice("What is in what", "R-134a", TWO)

    def describe(self, look):
        """Compare the mixture with the pure refrigerant."""
        names = self.label, next(name for _, name in TWO if name != self.label)
        accuracies = {"pressure_accuracy": self.pressure_accuracy, "temperature_accuracy": self.temperature_accuracy}
        reading = service.blend_reading(*names, self.share, temperature=self.temperature, **accuracies)
        picture = blend_picture(
            names, self.share, reading, service.blend_curve(*names, self.temperature, points=21), look
        )

        notes = ("At the limit of 98 % purity no gauge sees it: only an identifier does.", _HURTS)
        return shows(picture, rows_of("BlendPanel", look, reading), notes)


@panel("How full may a cylinder be?")
class CylinderFillPanel:
    """A cylinder on the scale, and what warming does to it."""

    mass: float = number("Refrigerant in it", 10.0, "mass", 2.0, 15.0, step=(0.1, 4), decimals=0)
    temperature: float = degrees("Warmed up to", 25, 0, 80)
    volume: float = number("Water capacity", 12e-3, "volume", 12e-3, 25e-3, step=(5e-4, 0.1), decimals=1)
    refrigerant: str = choice("Refrigerant", "R-134a", ("R-134a", "R-1234yf", "R-152a"))

    def describe(self, look):
        """Weigh it and warm it."""
        result = service.fill_cylinder(filled(service.CylinderSpec, self))
        now = min(bisect_left(result.temperatures, self.temperature - 1e-6), len(result.temperatures) - 1)
        T, pressure, share = (each[now] for each in (result.temperatures, result.pressures, result.liquid_shares))
        picture = fill_picture(result, T, pressure, share, look)

        notes = (*result.notes, "A cylinder that is too full: leave the place, keep others out, call the supplier.")
        return shows(picture, rows_of("CylinderFillPanel", look, result, T=T, share=share, pressure=pressure), notes)


@panel("How long must it rest?")
class CylinderRestPanel:
    """A cylinder from the van on the shop floor: the clock runs, gauge and thermometer come together."""

    time: float = number(
        "Time gone by", 3600.0, "hours", 0.0, lambda s: s.clock, step=900.0, decimals=2, help="Let it run."
    )
    clock: float = choice("The clock shows", 12 * 3600.0, CLOCKS)
    start_temperature: float = degrees("Inside, when it came", 45, -10, 60, step=(1.0, 2))
    surroundings: float = degrees("Air in the shop", 20, 5, 40, step=(1.0, 2))
    mass: float = number("Refrigerant in it", 10.0, "mass", 0.5, 11.0, step=(0.5, 16), decimals=0)
    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANTS)

    def describe(self, look):
        """Let it rest and look at gauge and thermometer."""
        spec = filled(service.RestSpec, self)
        result, now = (service.rest_cylinder(spec, duration=end) for end in (self.clock, max(self.time, 1.0)))
        T, pressure = now.temperatures[-1], now.pressures[-1]
        picture = rest_picture(result, self.time, T, pressure, look)
        like_air = max(1.0 - result.expected_pressure / pressure, 0.0)
        rows = rows_of("CylinderRestPanel", look, result, T=T, pressure=pressure, like_air=like_air)
        return shows(picture, rows, ("There is no air in this cylinder: only its warmth deceives.", _HURTS))

    def follow(self, changed):
        """Set the clock back where its end has come nearer."""
        return {"time": min(self.time, self.clock)}
