"""The learner turns a loss into a leak, a leak into a hole, and watches a nitrogen test."""

from thermo_kit import service
from thermo_kit.charts.service import hole_picture, methods_picture, test_picture
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.service import LossSpec, PassageSpec, PressureTest, PressureWatch
from thermo_kit.service.leak import ROOM_TEMPERATURE, YEAR
from thermo_kit.substances import Refrigerant
from thermo_kit.units import celsius

REFRIGERANTS = ("R-134a", "R-1234yf", "R-152a", "R-290")
STATES = (("vapour", False), ("liquid", True))
VEHICLES = (("common practice", ""), *((title, name) for name, (title, *_) in service.plateaus().items()))
CLOCKS = (("one hour", 3600.0), ("four hours", 4 * 3600.0), ("a day", 86400.0))
BORES = tuple(1e-6 * 50 ** (i / 24) for i in range(25))
_NITROGEN = "Dry nitrogen through a regulator, never oxygen or shop air; never above the maker's test pressure."


@panel("From a loss to a leak")
class LossPanel:
    """A loss between two weighings, and the methods that can find the leak."""

    lost: float = number("Missing when recovered", 0.21, "mass", 0.0, 0.49, step=(0.005, 0.2))
    since: float = number("Filled so long ago", 1.0 * YEAR, "long_time", 0.1 * YEAR, 10.0 * YEAR, step=0.1 * YEAR)
    charge: float = number("Charge on the label", 0.55, "mass", 0.5, 2.5, step=(0.01, 0.5))
    weighing_accuracy: float = number("Accuracy of both weighings", 0.03, "mass", 0.0, 0.1, step=(0.005, 0.2))
    permeation: float = number(
        "Loss of sound hoses", 0.010 / YEAR, "leak_rate", 0.0, 0.05 / YEAR, step=(0.001 / YEAR, 0.05)
    )
    vehicle: str = choice("Its charge plateau", "", VEHICLES)
    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANTS)

    def describe(self, look):
        """Turn the loss into a rate and look for it."""
        share = service.plateau_share(self.vehicle) if self.vehicle else LossSpec.noticed_share
        result = service.rate_of_loss(filled(LossSpec, self, noticed_share=share))
        picture = methods_picture(result, service.methods(), look)
        return shows(picture, rows_of("LossPanel", look, result, share=share, room=celsius(20)), result.notes)


@panel("What does a hole lose?")
class LeakHolePanel:
    """A fine passage under pressure, with vapour or liquid in front of it."""

    bore: float = number("Bore", 5e-6, "fine_length", BORES[0], BORES[-1], step=5e-7, decimals=1)
    liquid: bool = choice("In front of it stands", False, STATES)
    temperature: float = number("Temperature", ROOM_TEMPERATURE, "temperature", celsius(0), celsius(60), step=(1.0, 2))
    length: float = number("Length", 5e-3, of=PassageSpec, low=1e-3, high=0.02, step=(1e-3, 0.05))
    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANTS)

    def describe(self, look):
        """Let it leak at saturation."""
        T = self.temperature
        pressure = Refrigerant(self.refrigerant).bubble_pressure(T) * (1.001 if self.liquid else 0.999)
        passage = PassageSpec(diameter=self.bore, length=self.length)
        flow = service.passage_flow(passage, self.refrigerant, inside=pressure, temperature=T, liquid=self.liquid)
        along = {"bores": BORES, "length": self.length, "temperature": T}
        vapour = service.passage_curve(self.refrigerant, **along, inside=0.999 * pressure)
        liquid = service.passage_curve(self.refrigerant, **along, inside=1.002 * pressure, liquid=True)
        words = "liquid" if self.liquid else "vapour"
        picture = hole_picture(BORES, vapour, liquid, self.bore, flow, words, look)
        rate = service.throughput(flow, self.refrigerant)
        told = {"pressure": pressure, "flow": flow, "rate": rate, "bubble": 0.002, "every": service.bubbles(rate)}
        rows = rows_of("LeakHolePanel", look, **told)
        return shows(picture, rows, ("Twice the bore: about sixteen times the loss.",))


@panel("A nitrogen test while the shop warms up")
class NitrogenTestPanel:
    """Nitrogen shut in a circuit: the clock runs, the shop warms up, the gauge is judged."""

    time: float = number("Time gone by", 3600.0, "duration", 60.0, lambda s: s.clock, step=300.0, decimals=0)
    clock: float = choice("The clock shows", 4 * 3600.0, CLOCKS)
    bore: float = number("Bore of the leak", 12e-6, "fine_length", 0.0, 60e-6, step=1e-6, decimals=0)
    start_temperature: float = degrees("Shop at the start", 15, 5, 35)
    end_temperature: float = degrees("Shop in the end", 22, 5, 35)
    start_pressure: float = number("Gauge at the start", 1.6e6, of=PressureWatch, low=5e5, high=3e6, step=(1e5, 10))
    pressure_accuracy: float = number("Accuracy of the gauge", 1e4, of=PressureTest, low=1e3, high=1e5, step=1e3)
    temperature_accuracy: float = number(
        "Accuracy of the thermometer", 0.5, of=PressureTest, low=0.1, high=3.0, step=0.1
    )
    volume: float = number("Volume of the circuit", 2.5e-3, of=PressureWatch, low=1e-3, high=0.01, step=(1e-4, 0.05))

    def describe(self, look):
        """Let the clock run and judge what the gauge shows."""
        spec = filled(PressureWatch, self)
        watch, now = (service.watch_pressure_test(spec, duration=end) for end in (self.clock, self.time))
        test = filled(
            PressureTest, self, end_pressure=now.pressures[-1], end_temperature=now.temperatures[-1], duration=self.time
        )
        verdict = service.judge_pressure_test(test)
        picture = test_picture(watch, self.time, verdict, look)
        return shows(picture, rows_of("NitrogenTestPanel", look, verdict), (*verdict.notes, _NITROGEN))

    def follow(self, changed):
        """Set the clock back where its end has come nearer."""
        return {"time": min(self.time, self.clock)}
