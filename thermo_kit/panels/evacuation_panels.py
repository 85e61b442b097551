"""One vehicle from connecting to the label: recovery, vacuum, rise test, charge by weight."""

import functools

import numpy as np

from thermo_kit import service
from thermo_kit.charts import service as charts
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of
from thermo_kit.panels.settings import choice, filled, number, panel, text
from thermo_kit.service import ChargingSpec, EvacuationSpec, HoseHoldUp, HoseSpec, RecoverySpec
from thermo_kit.service.evacuation import FROZE
from thermo_kit.substances import REFRIGERANT_NAMES
from thermo_kit.units import atmosphere_pressure
from thermo_kit.units.look import percent

HOSES = {
    "thin, core in": HoseSpec(),
    "thin, core out": HoseSpec(core_in=False),
    "wide, core in": HoseSpec(bore=9.5e-3),
    "wide, core out": HoseSpec(bore=9.5e-3, core_in=False),
}
"""Thin: 4.8 mm bore, 1.8 m; wide: 9.5 mm bore, 1.8 m."""
TAKES = (("vapour only", 0.0), ("liquid first, then vapour", 0.01))
PACES = (("an hour", 3600.0), ("ten minutes", 600.0), ("a night", 36000.0))


_evacuated = functools.lru_cache(maxsize=64)(service.evacuate)
_recovered = functools.lru_cache(maxsize=64)(service.recover)


def _take_time_along(settings, changed):
    return {"gone": min(settings.gone, settings.duration)} if changed == "duration" else {}


_MOMENT = ("pressure", "water_pressure", "water_left", "water_temperature", "ice_share")


@panel("Drawing a vacuum")
class VacuumPanel:
    """A wet circuit on the pump: pressure, water and ice while time goes by."""

    gone: float = number("Time gone by", 900.0, "duration", 30.0, lambda s: s.duration, step=30.0, decimals=1)
    duration: float = choice("The slider runs over", 3600.0, PACES)
    hose: str = choice("Hose and valve core", "thin, core in", HOSES)
    water: float = number("Water in the circuit", 0.005, of=EvacuationSpec, high=0.05, step=(0.001, 0.05), decimals=1)
    metal_temperature: float = number(
        "Metal of the circuit", 293.15, of=EvacuationSpec, low=268.15, high=333.15, step=(1.0, 1)
    )
    warmth: float = number(
        "Heat the metal passes to the water", 0.8, of=EvacuationSpec, low=0.05, high=5.0, step=(0.05, 0.1), decimals=2
    )
    pump_speed: float = number(
        "Speed of the pump", 70 / 60000, of=EvacuationSpec, low=20 / 60000, high=200 / 60000, step=(5 / 60000, 1)
    )
    leak: float = number("Leak from outside", 0.0, of=EvacuationSpec, high=0.1, step=0.001, decimals=3)

    def describe(self, look):
        """Say what gauge and water do."""
        result = _evacuated(filled(EvacuationSpec, self, hose=HOSES[self.hose]))
        i = max(sum(t <= self.gone for t in result.time) - 1, 0)
        rows = rows_of("VacuumPanel", look, result, **{name: max(getattr(result, name)[i], 0.0) for name in _MOMENT})
        frozen_by_now = any(ice > 1e-3 for ice in result.ice_share[: i + 1])
        notes = [note for note in result.notes if frozen_by_now or note != FROZE]
        notes = (*notes, "The water is one lump here. In a real circuit it lies in many places.")
        return shows(charts.vacuum_picture(result, look, now=self.gone, ends=self.duration), rows, notes)

    follow = _take_time_along


@panel("The rise test")
class RisePanel:
    """Readings after the pump was shut off, and what they say."""

    leak: float = number("Leak from outside", 2e-4, of=EvacuationSpec, high=2e-3, step=1e-5, decimals=5)
    moisture: float = number("Moisture lifts the pressure by", 0.0, "vacuum", 0.0, 2000.0, step=(10.0, 50))
    watched: float = number("Watched for", 1800.0, "duration", 180.0, 7200.0, step=60.0, decimals=0)
    scatter: float = number("Scatter of the gauge", 3.0, "vacuum", 1.0, 300.0, step=(1.0, 5))
    log: str = text(
        "Your own log", lines=5, help="Paste a log: time [min], vacuum [micron]; then the sliders above do not count."
    )

    def describe(self, look):
        """Judge the readings."""
        notes = ()
        if self.log.strip():
            log = service.read_vacuum_log(self.log + "\n", altitude=look.altitude)
            times, pressures = log.times, log.pressures
            notes = (*(f"Line {line} is not used: {why}" for line, why in log.skipped[:5]), *log.notes)
        else:
            times = np.linspace(0.0, self.watched, 31)
            noise = np.random.default_rng(5).normal(0.0, self.scatter, len(times))
            p = 80.0 + self.leak / 2.5e-3 * times + self.moisture * (1.0 - np.exp(-times / 240.0)) + noise
            times, pressures = tuple(map(float, times)), tuple(float(max(one, 0.0)) for one in p)
        said = service.judge_vacuum_rise(times, pressures, gauge_accuracy=self.scatter)
        rows = (
            ("Verdict", said.verdict),
            *((f"Chance: {name}", percent(share)) for name, share in said.chance.items()),
            *rows_of("RisePanel", look, said),
        )
        return shows(charts.rise_picture(times, pressures, said, look), rows, (*said.notes, *notes))


@panel("Recovery")
class RecoveryPanel:
    """Refrigerant drawn off, as vapour or first as liquid, while time goes by."""

    gone: float = number("Time gone by", 240.0, "duration", 10.0, lambda s: s.duration, step=10.0, decimals=1)
    duration: float = choice("The slider runs over", 600.0, (PACES[1], PACES[0]))
    liquid_flow: float = choice("The machine takes", 0.0, TAKES)
    warmth: float = number("Heat the metal passes on", 15.0, of=RecoverySpec, low=1.0, high=60.0, step=(1.0, 2))
    charge: float = number("Charge", 0.6, of=RecoverySpec, low=0.3, high=1.2, step=(0.01, 0.5))
    oil: float = number("Oil in the circuit", 1.5e-4, "displacement", 0.0, 4e-4, step=(1e-5, 0.5))
    temperature: float = number("Temperature of the bay", 293.15, of=RecoverySpec, high=318.15, step=(1.0, 1))
    refrigerant: str = choice("Refrigerant", "R-1234yf", [n for n in REFRIGERANT_NAMES if n != "R-744"])

    log: str = text(
        "Your own log",
        lines=5,
        help="Paste a log: time [min], recovered [g], pressure [bar(g)]; then the sliders do not count.",
    )

    def describe(self, look):
        """Say what is out, what is left and where it hides."""
        if self.log.strip():
            return _recovery_log(self.log, look)
        result = _recovered(filled(RecoverySpec, self), points=400)
        picture = charts.recovery_picture(result, look, now=self.gone, ends=self.duration)
        return shows(picture, rows_of("RecoveryPanel", look, result, drawn=result.recovered[-1]), result.notes)

    follow = _take_time_along


def _recovery_log(lines, look):
    log = service.read_recovery_log(lines + "\n", altitude=look.altitude)
    said = service.judge_recovery(log, atmosphere=atmosphere_pressure(look.altitude))
    picture = charts.recovery_log_picture(log, said, look)
    skipped = (f"Line {line} is not used: {why}" for line, why in log.skipped[:5])
    return shows(picture, rows_of("log of RecoveryPanel", look, said), (*said.notes, *skipped, *log.notes))


@panel("Charge by weight")
class ChargePanel:
    """Label, scale and hose."""

    weighed: float = number("Taken from the cylinder", 0.52, "mass", 0.1, 1.2)
    label_charge: float = number("Charge on the label", 0.52, of=ChargingSpec, low=0.2, high=1.0)
    label_tolerance: float = number("The label allows", 0.02, of=ChargingSpec, low=0.005, high=0.1, step=(0.005, 0.1))
    scale_accuracy: float = number(
        "Accuracy of the scale", 0.005, of=ChargingSpec, low=0.001, high=0.05, step=(0.001, 0.05)
    )
    hose: str = choice("The hose stays behind", "empty", ("empty", "full of vapour", "full of liquid"))
    bore: float = number("Bore of the hose", 4.8e-3, of=HoseHoldUp, low=3e-3, high=0.012, step=(2e-4, 0.01))
    length: float = number("Length of the hose", 1.8, of=HoseHoldUp, low=0.3, high=5.0, step=(0.1, 4))
    left_before: float = number("Left in the circuit before", 0.0, of=ChargingSpec, high=0.3)
    refrigerant: str = choice("Refrigerant", "R-1234yf", REFRIGERANT_NAMES)

    def describe(self, look):
        """Judge the charge."""
        liquid, vapour = service.hose_holds(filled(HoseHoldUp, self))
        held = {"empty": 0.0, "full of vapour": vapour, "full of liquid": liquid}[self.hose]
        result = service.judge_charge(filled(ChargingSpec, self, hose_hold_up=held))
        return shows(charts.charge_picture(result, look), rows_of("ChargePanel", look, result, held=held), result.notes)
