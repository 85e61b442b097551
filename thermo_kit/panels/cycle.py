"""A cycle on the diagram, five refrigerants at the same job, and the charge that leaks into a closed space."""

from dataclasses import replace

from thermo_kit.charts.pressure_enthalpy import diagram
from thermo_kit.charts.refrigerants import concentration_picture, refrigerant_bars
from thermo_kit.errors import OutOfRangeError
from thermo_kit.panels.cycle_words import cycle_rows, mass_word
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, facts_of
from thermo_kit.substances.lines import property_lines
from thermo_kit.systems import CycleSpec, LeakSpec, solve_cycle, spread_leak
from thermo_kit.systems.comparison import ComparisonSpec, compare_refrigerants
from thermo_kit.units import Amount, Said, bar, barg, format_quantity

CONDENSER, GAS_COOLER = "condenser", "gas cooler"
_NO_CONDENSER = {"condensing_temperature": None, "subcooling": 0.0}
_NO_GAS_COOLER = {"gas_cooler_pressure": None, "gas_cooler_outlet_temperature": None}
_COMPARED = ("Refrigerant", "Low side", "High side", "Hot gas", "Suction volume for 1 kW", "COP")
_PLACE = "{concentration:concentration} ({volume_share:ppm})"
_LIMITS = ("8-hour limit", "short-term limit", "EN 378 limit for people", "immediately dangerous level")


def _has_condenser(settings):
    return settings.high_side == CONDENSER


def _has_gas_cooler(settings):
    return settings.high_side == GAS_COOLER


def spec_of(settings):
    """Return the cycle that the settings ask for."""
    return filled(CycleSpec, settings, **(_NO_CONDENSER if _has_gas_cooler(settings) else _NO_GAS_COOLER))


@panel("A cycle on the pressure–enthalpy diagram")
class CyclePanel:
    """A cycle from its temperatures, on the pressure-enthalpy diagram."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    evaporating_temperature: float = degrees("Evaporating temperature", 0, -35, 25)
    superheat: float = number("Superheat", 8.0, "temperature_difference", 0.0, 40.0)
    high_side: str = choice(
        "High side", CONDENSER, (CONDENSER, GAS_COOLER),
        help="A gas cooler works above the critical pressure, as with R-744 on warm days.",
    )  # fmt: skip
    condensing_temperature: float = degrees("Condensing temperature", 45, -10, 85, needed=_has_condenser)
    subcooling: float = number("Subcooling", 6.0, "temperature_difference", 0.0, 30.0, needed=_has_condenser)
    gas_cooler_pressure: float = number(
        "Gas cooler pressure", barg(95), "pressure", bar(74), bar(150), step=(0.5e5, 10), decimals=1,
        needed=_has_gas_cooler,
    )  # fmt: skip
    gas_cooler_outlet_temperature: float = degrees("Gas cooler outlet", 38, 10, 60, needed=_has_gas_cooler)
    isentropic_efficiency: float = number("Isentropic efficiency", 0.7, "ratio", 0.3, 1.0)
    with_loss_free: bool = choice(
        "Compare with loss-free", False, (("no", False), ("yes", True)), help="Loss-free is the thin dotted cycle."
    )
    internal_heat_exchanger_effectiveness: float = number(
        "Internal heat exchanger", 0.0, "ratio", 0.0, 0.95, step=0.05,
        help="Effectiveness: 0 is none fitted, 1 would be perfect.",
    )  # fmt: skip

    def describe(self, look):
        """Solve and draw the cycle."""
        fluid = Refrigerant(self.refrigerant)
        if _has_condenser(self) and self.condensing_temperature >= fluid.critical_temperature:
            given = Amount(self.condensing_temperature, "temperature")
            critical = Amount(fluid.critical_temperature, "temperature")
            limit = Said("is not below {}, critical for {}", critical, fluid.name)
            advice = "choose the gas cooler as high side, or a lower condensing temperature"
            raise OutOfRangeError.about("Condensing temperature", given, limit, advice)
        spec = spec_of(self)
        cycles, names = [solve_cycle(spec)], ()
        if self.with_loss_free:
            cycles.append(solve_cycle(replace(spec, isentropic_efficiency=1.0)))
            names = ("loss-free",)
        picture = diagram(property_lines(self.refrigerant, look.system), look, cycles=tuple(cycles), names=names)
        cycle = cycles[0]
        (sentence,) = texts_of("told of CyclePanel", look, cycle, mass=mass_word(look))
        return Description((picture,), sentence, cycle_rows(cycle, look), (*cycle.notes, fluid.facts.caution))

    def follow(self, changed):
        """Choose the kind of high side that suits a new refrigerant."""
        if changed != "refrigerant":
            return {}
        is_hot = self.condensing_temperature >= Refrigerant(self.refrigerant).critical_temperature
        return {"high_side": GAS_COOLER if is_hot else CONDENSER}


@panel("Same job, different numbers")
class ComparePanel:
    """The same temperatures for every refrigerant of the workbook."""

    evaporating_temperature: float = degrees("Evaporating temperature", 0, -30, 20)
    condensing_temperature: float = degrees(
        "Condensing temperature", 45, 25, 70, help="R-744 above its critical temperature is cooled as a gas instead."
    )
    superheat: float = number("Superheat", 5.0, "temperature_difference", 0.0, 30.0)
    subcooling: float = number("Subcooling", 5.0, "temperature_difference", 0.0, 20.0)
    isentropic_efficiency: float = number("Isentropic efficiency", 0.7, "ratio", 0.3, 1.0)

    def describe(self, look):
        """Give all of them the same job."""
        compared = compare_refrigerants(ComparisonSpec(**vars(self)))
        notes = ["The same isentropic efficiency for all is an assumption that makes the refrigerants comparable."]
        outlet = self.condensing_temperature - self.subcooling
        for row in compared:
            if row.above_critical:
                # The limits are absolute pressures, so they are named so.
                absolute = format_quantity(row.cycle.condensing_pressure, "pressure", look.system)
                key = f"too hot to condense, {row.limit or 'best'} pressure"
                notes += texts_of(key, look, row, outlet=outlet, absolute=absolute)
        best = max(compared, key=lambda row: row.cycle.coefficient_of_performance)
        worst = min(compared, key=lambda row: row.cycle.coefficient_of_performance)
        hottest = max(compared, key=lambda row: row.cycle.discharge_temperature)
        (sentence,) = texts_of("told of ComparePanel", look, self, best=best, worst=worst, hottest=hottest)
        rows = tuple(row for one in compared for row in rows_of("ComparePanel", look, one.cycle, one))
        return Description((refrigerant_bars(compared, look),), sentence, rows, tuple(notes), _COMPARED)


@panel("If it all leaks out")
class LeakPanel:
    """A leaked charge beside the limits of the standards."""

    refrigerant: str = choice("Refrigerant", "R-1234yf", REFRIGERANT_NAMES)
    charge: float = number("Charge that leaks", 0.6, of=LeakSpec, high=5.0, step=(0.01, 0.5))
    volume: float = number(
        "Air in the closed space", 3.0, of=LeakSpec, low=1.0, high=100.0, step=0.5, decimals=0,
        help="A driver's cab holds 2,000 to 4,000 litres; a workshop bay fifty times that.",
    )  # fmt: skip

    def describe(self, look):
        """Compare with the limits."""
        result = spread_leak(filled(LeakSpec, self))
        facts, burns = facts_of(self.refrigerant), result.lower_flammability_limit
        limits = dict.fromkeys(_LIMITS, "none set") | {one.name: look.say(_PLACE, one) for one in result.limits}
        reached = result.concentration / burns if burns else None
        rows = rows_of("LeakPanel", look, result, facts, limits=limits, reached=reached)
        return shows(concentration_picture(result, look), rows, (*result.notes, facts.caution))
