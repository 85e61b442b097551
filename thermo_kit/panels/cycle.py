"""A refrigerant and its cycle: boiling line, state, cycle on the diagram, five refrigerants compared, a blank sheet."""

import base64
from dataclasses import replace

import ipywidgets as widgets

from thermo_kit.errors import OutOfRangeError, Problem
from thermo_kit.panels.cycle_words import cycle_rows, mass_word
from thermo_kit.panels.frame import Description
from thermo_kit.panels.settings import DIFFERENCE, TEMPERATURE, choice, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant, facts_of
from thermo_kit.systems import CycleSpec, LeakSpec, solve_cycle, spread_leak
from thermo_kit.systems.comparison import ComparisonSpec, compare_refrigerants
from thermo_kit.units import Amount, Said, UnitSystem, bar, barg, celsius, format_quantity

CONDENSER, GAS_COOLER = "condenser", "gas cooler"
BY_ENTHALPY, BY_TEMPERATURE = "enthalpy", "temperature"
_COLDEST, _HOTTEST = celsius(-40), celsius(95)
_COMPARED = ("Refrigerant", "Low side", "High side", "Hot gas", "Suction volume for 1 kW", "COP")
_LIMITS = ("8-hour limit", "short-term limit", "EN 378 limit for people", "immediately dangerous level")


def _warmest(settings):
    return min(_HOTTEST, Refrigerant(settings.refrigerant).critical_temperature - 0.1)


@panel("Boiling pressure and boiling temperature")
class SaturationPanel:
    """Boiling temperature and boiling pressure; move either."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    temperature: float = number(
        "Temperature", celsius(25), **TEMPERATURE, low=_COLDEST, high=_warmest,
        help="Move this one: the pressure follows.",
    )  # fmt: skip
    pressure: float = number(
        "Pressure", barg(5.64), "gauge_pressure",
        low=lambda settings: Refrigerant(settings.refrigerant).dew_pressure(_COLDEST),
        high=lambda settings: Refrigerant(settings.refrigerant).dew_pressure(_warmest(settings)),
        step=0.1e5, us_step=1, help="Or this one: the temperature follows.",
    )  # fmt: skip

    def describe(self, look):
        """Read the boiling line."""
        from thermo_kit.charts.saturation_curve import SaturationMark, saturation_picture
        from thermo_kit.substances.lines import saturation_curve

        fluid = Refrigerant(self.refrigerant)
        liquid = fluid.at(T=self.temperature, x=0.0).rho
        vapour = fluid.at(T=self.temperature, x=1.0).rho
        mark = SaturationMark(self.temperature, self.pressure, "liquid and vapour")
        picture = saturation_picture((saturation_curve(fluid.name),), look, marks=(mark,))
        temperature = look.text(self.temperature, "temperature")
        rows = (
            ("Temperature", temperature),
            ("Gauge reading", format_quantity(self.pressure, "gauge_pressure", look.system, look.altitude)),
            ("Absolute pressure", format_quantity(self.pressure, "pressure", look.system)),
            ("Critical temperature", look.text(fluid.critical_temperature, "temperature")),
            ("Density of the liquid", look.text(liquid, "density")),
            ("Density of the vapour", look.text(vapour, "density")),
        )
        sentence = (
            f"{fluid.name} that is partly liquid and partly vapour at {temperature} "
            f"has {look.text(self.pressure, 'pressure')}. At that pressure it boils when it takes in heat, "
            f"and condenses when it gives heat away."
        )
        return Description((picture,), sentence, rows, (fluid.facts.caution,))

    def follow(self, changed):
        """Let the pressure follow the temperature, or the temperature the pressure."""
        fluid = Refrigerant(self.refrigerant)
        if changed == "pressure":
            return {"temperature": fluid.dew_temperature(self.pressure)}
        return {"pressure": fluid.dew_pressure(self.temperature)}


def _lines(settings):
    from thermo_kit.substances.lines import property_lines

    return property_lines(settings.refrigerant)


def state_of(settings):
    """Return the state at the picked place."""
    fluid = Refrigerant(settings.refrigerant)
    if settings.second == BY_TEMPERATURE:
        return fluid.at(p=settings.pressure, T=settings.temperature)
    return fluid.at(p=settings.pressure, h=settings.enthalpy)


@panel("What is the refrigerant here?")
class StatePanel:
    """Pick a place on the diagram; the state there is read out."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    pressure: float = number(
        "Pressure", barg(2.0), "pressure",
        low=lambda settings: _lines(settings).lowest_pressure,
        high=lambda settings: _lines(settings).highest_pressure, step=0.05e5, us_step=1,
    )  # fmt: skip
    enthalpy: float = number(
        "Enthalpy", 300e3, "specific_enthalpy",
        low=lambda settings: _lines(settings).lowest_enthalpy,
        high=lambda settings: _lines(settings).highest_enthalpy, step=1e3, us_step=0.5,
        help="Moves the point along a level line; the temperature follows.",
    )  # fmt: skip
    temperature: float = number(
        "Temperature", celsius(10), **TEMPERATURE,
        low=lambda settings: _lines(settings).saturation_temperature[0],
        high=lambda settings: Refrigerant(settings.refrigerant).highest_temperature,
        help="Or type a temperature; the enthalpy follows.",
    )  # fmt: skip
    second: str = choice(
        "When the pressure changes, keep", BY_ENTHALPY,
        (("the enthalpy", BY_ENTHALPY), ("the temperature", BY_TEMPERATURE)),
    )  # fmt: skip

    def describe(self, look):
        """Read the state out."""
        from thermo_kit.charts.cycle_drawing import Mark
        from thermo_kit.charts.pressure_enthalpy import diagram
        from thermo_kit.substances.lines import property_lines

        state = state_of(self)
        where = f"x {state.x:.2f}" if state.phase == "two-phase" else state.phase
        mark = Mark(state.p, state.h, f"{look.text(state.T, 'temperature')}, {where}")
        picture = diagram(property_lines(self.refrigerant, look.system), look, marks=(mark,))
        rows = [
            ("Pressure", look.text(state.p, "pressure")),
            ("Temperature", look.text(state.T, "temperature")),
            ("Enthalpy", look.text(state.h, "specific_enthalpy")),
            ("Entropy", look.text(state.s, "specific_entropy")),
            ("Density", look.text(state.rho, "density")),
        ]
        if state.x is not None:
            rows.append(("Vapour share", f"{state.x:.3f}"))
        sentence = (
            f"At {look.text(state.p, 'pressure')} and {look.text(state.h, 'specific_enthalpy')} "
            f"{_phase_words(state, self.refrigerant, look)}"
        )
        return Description((picture,), sentence, tuple(rows), ())

    def follow(self, changed):
        """Let the other of enthalpy and temperature follow, so that the way of picking does not move the point."""
        if changed == "refrigerant":
            return _middle_of(self)
        if changed in ("enthalpy", "temperature"):
            self = replace(self, second=changed)
        state = state_of(self)
        if self.second == BY_TEMPERATURE:
            return {"second": BY_TEMPERATURE, "enthalpy": state.h}
        return {"second": BY_ENTHALPY, "temperature": state.T}


def _middle_of(settings):
    """A new refrigerant has another window; a point outside it moves to the middle of its dome."""
    lines = _lines(settings)
    inside_h = lines.lowest_enthalpy <= settings.enthalpy <= lines.highest_enthalpy
    inside_p = lines.lowest_pressure <= settings.pressure <= lines.highest_pressure
    pressure = settings.pressure if inside_p else (lines.lowest_pressure * lines.critical_pressure) ** 0.5
    enthalpy = settings.enthalpy if inside_h else lines.critical_enthalpy
    state = Refrigerant(settings.refrigerant).at(p=pressure, h=enthalpy)
    return {"pressure": pressure, "enthalpy": enthalpy, "temperature": state.T, "second": BY_ENTHALPY}


def _phase_words(state, name, look):
    fluid, at = Refrigerant(name), look.text(state.T, "temperature")
    if state.phase == "two-phase":
        return f"{name} is boiling or condensing at {at}: {state.x * 100:.0f} % of its mass is vapour, the rest liquid."
    if state.p >= fluid.critical_pressure * 0.9999:
        return (
            f"{name} is at {at}, above its critical pressure of {look.text(fluid.critical_pressure, 'pressure')}: "
            "it neither boils nor condenses, it only grows denser as it cools."
        )
    if state.phase == "liquid":
        gap = look.text(fluid.bubble_temperature(state.p) - state.T, "temperature_difference")
        return f"{name} is liquid at {at}, subcooled by {gap}."
    gap = look.text(state.T - fluid.dew_temperature(state.p), "temperature_difference")
    return f"{name} is vapour at {at}, superheated by {gap}."


def _has_condenser(settings):
    return settings.high_side == CONDENSER


def _has_gas_cooler(settings):
    return settings.high_side == GAS_COOLER


def spec_of(settings):
    """Return the cycle that the settings ask for."""
    if _has_gas_cooler(settings):
        high = {
            "gas_cooler_pressure": settings.gas_cooler_pressure,
            "gas_cooler_outlet_temperature": settings.gas_cooler_outlet_temperature,
        }
    else:
        high = {"condensing_temperature": settings.condensing_temperature, "subcooling": settings.subcooling}
    return CycleSpec(
        refrigerant=settings.refrigerant,
        evaporating_temperature=settings.evaporating_temperature,
        superheat=settings.superheat,
        isentropic_efficiency=settings.isentropic_efficiency,
        internal_heat_exchanger_effectiveness=settings.internal_heat_exchanger_effectiveness,
        **high,
    )


@panel("A cycle on the pressure–enthalpy diagram")
class CyclePanel:
    """A cycle from its temperatures, on the pressure-enthalpy diagram."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    evaporating_temperature: float = number(
        "Evaporating temperature", celsius(0), **TEMPERATURE, low=celsius(-35), high=celsius(25)
    )
    superheat: float = number("Superheat", 8.0, **DIFFERENCE, low=0.0, high=40.0)
    high_side: str = choice(
        "High side", CONDENSER, (CONDENSER, GAS_COOLER),
        help="A gas cooler works above the critical pressure, as with R-744 on warm days.",
    )  # fmt: skip
    condensing_temperature: float = number(
        "Condensing temperature", celsius(45), **TEMPERATURE, low=celsius(-10), high=celsius(85), needed=_has_condenser
    )
    subcooling: float = number("Subcooling", 6.0, **DIFFERENCE, low=0.0, high=30.0, needed=_has_condenser)
    gas_cooler_pressure: float = number(
        "Gas cooler pressure", barg(95), "pressure", bar(74), bar(150), step=0.5e5, us_step=10, decimals=1,
        needed=_has_gas_cooler,
    )  # fmt: skip
    gas_cooler_outlet_temperature: float = number(
        "Gas cooler outlet", celsius(38), **TEMPERATURE, low=celsius(10), high=celsius(60), needed=_has_gas_cooler
    )
    isentropic_efficiency: float = number("Isentropic efficiency", 0.7, "ratio", 0.3, 1.0, step=0.01)
    with_loss_free: bool = choice(
        "Compare with loss-free", False, (("no", False), ("yes", True)), help="Loss-free is the thin dotted cycle."
    )
    internal_heat_exchanger_effectiveness: float = number(
        "Internal heat exchanger", 0.0, "ratio", 0.0, 0.95, step=0.05,
        help="Effectiveness: 0 is none fitted, 1 would be perfect.",
    )  # fmt: skip

    def describe(self, look):
        """Solve and draw the cycle."""
        from thermo_kit.charts.pressure_enthalpy import diagram
        from thermo_kit.substances.lines import property_lines

        fluid = Refrigerant(self.refrigerant)
        if _has_condenser(self) and self.condensing_temperature >= fluid.critical_temperature:
            critical = Amount(fluid.critical_temperature, "temperature")
            raise OutOfRangeError(
                Problem(
                    "Condensing temperature",
                    Amount(self.condensing_temperature, "temperature"),
                    Said("is not below {}, critical for {}", critical, fluid.name),
                    "choose the gas cooler as high side, or a lower condensing temperature",
                )
            )
        spec = spec_of(self)
        cycles, names = [solve_cycle(spec)], ()
        if self.with_loss_free:
            cycles.append(solve_cycle(replace(spec, isentropic_efficiency=1.0)))
            names = ("loss-free",)
        picture = diagram(property_lines(self.refrigerant, look.system), look, cycles=tuple(cycles), names=names)
        cycle = cycles[0]
        taken, work, given = (
            look.text(value, "specific_enthalpy")
            for value in (cycle.refrigerating_effect, cycle.compressor_work, cycle.heat_rejected)
        )
        sentence = (
            f"Each {mass_word(look)} of {cycle.refrigerant} takes in {taken} in the evaporator, costs {work} of "
            f"compressor work and gives away {given} on the high side. The cooling is "
            f"{cycle.coefficient_of_performance:.2f} times the work. "
            f"The hot gas leaves at {look.text(cycle.discharge_temperature, 'temperature')}."
        )
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

    evaporating_temperature: float = number(
        "Evaporating temperature", celsius(0), **TEMPERATURE, low=celsius(-30), high=celsius(20)
    )
    condensing_temperature: float = number(
        "Condensing temperature", celsius(45), **TEMPERATURE, low=celsius(25), high=celsius(70),
        help="R-744 above its critical temperature is cooled as a gas instead.",
    )  # fmt: skip
    superheat: float = number("Superheat", 5.0, **DIFFERENCE, low=0.0, high=30.0)
    subcooling: float = number("Subcooling", 5.0, **DIFFERENCE, low=0.0, high=20.0)
    isentropic_efficiency: float = number("Isentropic efficiency", 0.7, "ratio", 0.3, 1.0, step=0.01)

    def describe(self, look):
        """Give all of them the same job."""
        from thermo_kit.charts.refrigerant_bars import refrigerant_bars

        compared = compare_refrigerants(ComparisonSpec(**vars(self)))
        notes = ["The same isentropic efficiency for all is an assumption that makes the refrigerants comparable."]
        outlet = look.text(self.condensing_temperature - self.subcooling, "temperature")
        notes += [
            f"{row.refrigerant} is too hot to condense. It is cooled as a gas to {outlet} at {_chosen(row, look)}."
            for row in compared
            if row.above_critical
        ]
        best = max(compared, key=lambda row: row.cycle.coefficient_of_performance)
        worst = min(compared, key=lambda row: row.cycle.coefficient_of_performance)
        hottest = max(compared, key=lambda row: row.cycle.discharge_temperature)
        sentence = (
            f"Between {look.text(self.evaporating_temperature, 'temperature')} and "
            f"{look.text(self.condensing_temperature, 'temperature')} {best.refrigerant} has the highest COP, "
            f"{best.cycle.coefficient_of_performance:.2f}, and {worst.refrigerant} the lowest, "
            f"{worst.cycle.coefficient_of_performance:.2f}. {hottest.refrigerant} has the hottest gas, "
            f"{look.text(hottest.cycle.discharge_temperature, 'temperature')}."
        )
        rows = tuple(_compared_row(row, look) for row in compared)
        return Description((refrigerant_bars(compared, look),), sentence, rows, tuple(notes), _COMPARED)


def _chosen(row, look):
    """Say at which gas cooler pressure, and why: the limits are absolute pressures, so they are named so."""
    pressure = row.cycle.condensing_pressure
    if row.limit:
        beyond = "higher" if row.limit == "highest" else "lower"
        limit = format_quantity(pressure, "pressure", look.system)
        return f"{limit}, the {row.limit} this panel goes to; the best COP lies at a {beyond} pressure"
    return f"{look.text(pressure, 'pressure')}, chosen for the best COP"


def _compared_row(row, look):
    return (
        row.refrigerant,
        look.text(row.cycle.evaporating_pressure, "pressure"),
        look.text(row.cycle.condensing_pressure, "pressure"),
        look.text(row.cycle.discharge_temperature, "temperature"),
        look.text(row.suction_volume_flow, "volume_flow"),
        f"{row.cycle.coefficient_of_performance:.2f}",
    )


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


@panel("A blank diagram to draw on")
class BlankSheet:
    """Whose diagram, and on which paper."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)

    def describe(self, look):
        """Say what will be printed."""
        paper = "A4" if look.system is UnitSystem.SI else "US letter"
        return Description(
            sentence=f"A blank pressure–enthalpy diagram of {self.refrigerant}, ready to print on {paper}.",
            rows=(
                ("Paper", f"{paper}, landscape"),
                ("Pressures", "as a gauge reads" if look.gauge else "absolute"),
            ),
        )


class BlankSheetPanel(BlankSheet):
    """A link that saves the blank sheet."""

    def __init__(self, **settings):
        self.link = widgets.HTML()
        super().__init__(**settings)
        self.children = (*self.children, self.link)

    def _draw(self, description):
        super()._draw(description)
        from thermo_kit.charts.blank_sheet import sheet_bytes
        from thermo_kit.substances.lines import property_lines

        name = self.settings.refrigerant
        data = base64.b64encode(sheet_bytes(property_lines(name, self._look.system), self._look)).decode()
        self.link.value = (
            f'<a class="tk-link" download="blank_diagram_{name}.pdf" href="data:application/pdf;base64,{data}">'
            f"Save the blank sheet of {name} (PDF)</a>"
        )
