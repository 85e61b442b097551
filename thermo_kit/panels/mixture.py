"""The learner reads a coolant sample, sees what it protects from, and plans how to top it up."""

from thermo_kit.charts.coolant import mixture_picture
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, number, panel
from thermo_kit.service.mixture import GLYCOLS, cold_state, freezing_curve, read_hydrometer, read_refractometer, top_up

INSTRUMENTS = (
    ("refractometer, scale of this glycol", "own scale"),
    ("refractometer, scale of the other glycol", "other scale"),
    ("hydrometer", "hydrometer"),
)


@panel("Coolant mixture: read, judge, top up")
class MixturePanel:
    """A coolant mixture: reading, frost, topping up."""

    kind: str = choice("Glycol in the loop", "ethylene glycol", GLYCOLS)
    instrument: str = choice("Instrument", "own scale", INSTRUMENTS)
    scale_reading: float = degrees("Reading on the scale", -18, -45, -0.5, help="Refractometer only.")
    specific_gravity: float = number(
        "Specific gravity", 1.05, "ratio", 1.0, 1.085, step=(0.001, 0.001), decimals=3,
        help="Hydrometer only, sample at 15.6 °C (60 °F).",
    )  # fmt: skip
    coldest: float = degrees("Coldest night", -25, -45, 5, step=(1.0, 1), decimals=0)
    target: float = number("Glycol wanted, by volume", 0.5, "percent", 0.2, 0.56)
    system_volume: float = number("Coolant in the full loop", 8e-3, "volume", 1e-3, 40e-3, step=(0.5e-3, 0.1))
    missing_volume: float = number(
        "Missing now", 0.0, "volume", 0.0, lambda s: 0.9 * s.system_volume, step=(0.1e-3, 0.02)
    )

    def reading(self):
        """Return what the instrument says."""
        if self.instrument == "hydrometer":
            return read_hydrometer(self.kind, specific_gravity=self.specific_gravity)
        scale = next(name for name in GLYCOLS if (name == self.kind) == (self.instrument == "own scale"))
        return read_refractometer(self.kind, scale_freezing_point=self.scale_reading, scale_kind=scale)

    def describe(self, look):
        """Read, judge, plan."""
        reading = self.reading()
        state = cold_state(self.kind, mass_fraction=reading.mass_fraction, temperature=self.coldest)
        plan = top_up(
            self.kind,
            system_volume=self.system_volume,
            missing_volume=self.missing_volume,
            volume_fraction=reading.volume_fraction,
            target_volume_fraction=self.target,
        )
        picture = mixture_picture(freezing_curve(self.kind), reading, state, plan, self.coldest, look)
        frost, care = texts_of("MixturePanel", look), texts_of("coolant at work", look)
        notes = (*reading.notes, *frost, *plan.notes, *care)
        return shows(picture, rows_of("MixturePanel", look, reading=reading, state=state, plan=plan), notes)
