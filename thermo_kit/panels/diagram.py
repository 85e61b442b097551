"""Lesson 02: a place on the pressure-enthalpy diagram, and a blank diagram to draw on by hand."""

import base64
from dataclasses import replace

import ipywidgets as widgets

from thermo_kit.charts.cycle_drawing import Mark
from thermo_kit.charts.pressure_enthalpy import diagram, sheet_bytes
from thermo_kit.panels.frame import Description
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, number, panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.substances.lines import property_lines
from thermo_kit.units import UnitSystem, barg

BY_ENTHALPY, BY_TEMPERATURE = "enthalpy", "temperature"


def _window(name):
    """Limit of a control: an edge of the diagram of the chosen refrigerant."""
    return lambda settings: getattr(property_lines(settings.refrigerant), name)


@panel("What is the refrigerant here?")
class StatePanel:
    """Pick a place on the diagram; the state there is read out."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)
    pressure: float = number(
        "Pressure", barg(2.0), "pressure", _window("lowest_pressure"), _window("highest_pressure"), step=(0.05e5, 1)
    )
    enthalpy: float = number(
        "Enthalpy", 300e3, "specific_enthalpy", _window("lowest_enthalpy"), _window("highest_enthalpy"),
        step=(1e3, 0.5), help="Moves the point along a level line; the temperature follows.",
    )  # fmt: skip
    temperature: float = degrees(
        "Temperature",
        10,
        lambda s: _window("saturation_temperature")(s)[0],
        lambda s: Refrigerant(s.refrigerant).highest_temperature,
        help="Or type a temperature; the enthalpy follows.",
    )
    second: str = choice(
        "When the pressure changes, keep", BY_ENTHALPY,
        (("the enthalpy", BY_ENTHALPY), ("the temperature", BY_TEMPERATURE)),
    )  # fmt: skip

    def state(self):
        """Return the state at the picked place."""
        second = {"T": self.temperature} if self.second == BY_TEMPERATURE else {"h": self.enthalpy}
        return Refrigerant(self.refrigerant).at(p=self.pressure, **second)

    def describe(self, look):
        """Say what the refrigerant is there."""
        state = self.state()
        share = "" if state.x is None else f"x {state.x:.2f}"
        place = f"{look.text(state.T, 'temperature')}, {share if state.phase == 'two-phase' else state.phase}"
        lines = property_lines(self.refrigerant, look.system)
        picture = diagram(lines, look, marks=(Mark(state.p, state.h, place),))
        rows = rows_of("StatePanel", look, state)
        words = _phase_words(state, Refrigerant(self.refrigerant), look)
        sentence = f"At {look.text(state.p, 'pressure')} and {look.text(state.h, 'specific_enthalpy')} {words}"
        return Description((picture,), sentence, rows)

    def follow(self, changed):
        """Return the other of enthalpy and temperature, so that changing the way of picking does not move the point."""
        if changed == "refrigerant":
            return self._inside_its_diagram()
        way = changed if changed in (BY_ENTHALPY, BY_TEMPERATURE) else self.second
        state = replace(self, second=way).state()
        if way == BY_TEMPERATURE:
            return {"second": BY_TEMPERATURE, "enthalpy": state.h}
        return {"second": BY_ENTHALPY, "temperature": state.T}

    def _inside_its_diagram(self):
        """A new refrigerant has another window; a point outside it moves to the middle of its dome."""
        lines = property_lines(self.refrigerant)
        inside_h = lines.lowest_enthalpy <= self.enthalpy <= lines.highest_enthalpy
        inside_p = lines.lowest_pressure <= self.pressure <= lines.highest_pressure
        pressure = self.pressure if inside_p else (lines.lowest_pressure * lines.critical_pressure) ** 0.5
        enthalpy = self.enthalpy if inside_h else lines.critical_enthalpy
        state = Refrigerant(self.refrigerant).at(p=pressure, h=enthalpy)
        return {"pressure": pressure, "enthalpy": enthalpy, "temperature": state.T, "second": BY_ENTHALPY}


def _phase_words(state, fluid, look):
    where, gap = f"state: {state.phase}", None
    if state.phase != "two-phase" and state.p >= fluid.critical_pressure * 0.9999:
        where = "state: above the critical pressure"
    elif state.phase == "liquid":
        gap = fluid.bubble_temperature(state.p) - state.T
    elif state.phase != "two-phase":
        where, gap = "state: vapour", state.T - fluid.dew_temperature(state.p)
    return texts_of(where, look, state, fluid, gap=gap)[0]


@panel("A blank diagram to draw on")
class _BlankSheet:
    """A link that saves the blank sheet."""

    refrigerant: str = choice("Refrigerant", "R-134a", REFRIGERANT_NAMES)

    def describe(self, look):
        """Say what the sheet is."""
        paper = "A4" if look.system is UnitSystem.SI else "US letter"
        rows = (("Paper", f"{paper}, landscape"), ("Pressures", "as a gauge reads" if look.gauge else "absolute"))
        sentence = f"A blank pressure–enthalpy diagram of {self.refrigerant}, ready to print on {paper}."
        return Description(sentence=sentence, rows=rows)


class BlankSheetPanel(_BlankSheet):
    """A link that saves the blank sheet."""

    def __init__(self, **settings):
        self.link = widgets.HTML()
        super().__init__(**settings)
        self.children = (*self.children, self.link)

    def _draw(self, description):
        super()._draw(description)
        name = self.settings.refrigerant
        data = base64.b64encode(sheet_bytes(property_lines(name, self._look.system), self._look)).decode()
        self.link.value = (
            f'<a class="tk-link" download="blank_diagram_{name}.pdf" href="data:application/pdf;base64,{data}">'
            f"Save the blank sheet of {name} (PDF)</a>"
        )
