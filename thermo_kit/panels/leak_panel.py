"""The learner lets a whole charge leak into a closed space and compares with the published limits."""

from thermo_kit.panels.frame import Description
from thermo_kit.panels.settings import choice, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES, facts_of
from thermo_kit.systems import LeakSpec, spread_leak

_LIMITS = ("8-hour limit", "short-term limit", "EN 378 limit for people", "immediately dangerous level")


@panel("If it all leaks out")
class LeakPanel:
    """A leaked charge beside the limits of the standards."""

    refrigerant: str = choice("Refrigerant", "R-1234yf", REFRIGERANT_NAMES)
    charge: float = number("Charge that leaks", 0.6, of=(LeakSpec, "charge"), high=5.0, step=0.01, us_step=0.5)
    volume: float = number(
        "Air in the closed space", 3.0, of=(LeakSpec, "volume"), low=1.0, high=100.0, step=0.5, decimals=0,
        help="A driver's cab holds 2,000 to 4,000 litres; a workshop bay fifty times that.",
    )  # fmt: skip

    def describe(self, look):
        """Compare with the limits."""
        from thermo_kit.charts.limit_bar import concentration_picture

        result = spread_leak(LeakSpec(refrigerant=self.refrigerant, charge=self.charge, volume=self.volume))
        picture = concentration_picture(result, look)
        facts = facts_of(self.refrigerant)
        limits = {limit.name: limit for limit in result.limits}
        burns = result.lower_flammability_limit
        limit = f"{burns * 1e3:.0f} g/m³" if burns else "does not burn in air at room temperature"
        rows = (
            ("Safety class", str(facts.safety_class.value)),
            ("Concentration", _told(result, look)),
            *(
                (f"{name[:1].upper()}{name[1:]}", _told(limits[name], look) if name in limits else "none set")
                for name in _LIMITS
            ),
            ("Lower flammability limit", limit),
            ("Share of that limit", f"{result.concentration / burns * 100:.0f} %" if burns else "–"),
            ("Charge that spreads to the lowest limit", look.text(result.largest_charge, "mass")),
        )
        return Description((picture,), picture.sentence, rows, (*result.notes, facts.caution))


def _told(place, look):
    """Write a concentration by mass and by volume."""
    return f"{look.text(place.concentration, 'concentration')} ({place.volume_share * 1e6:,.0f} ppm)"
