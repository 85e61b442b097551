"""How every panel of a notebook shows its numbers: one shared choice of units, altitude and gauge."""

import contextlib
import functools

import ipywidgets as widgets
import traitlets

from thermo_kit.errors import InputError, Problem, ThermoKitError
from thermo_kit.panels.bare import ToldBox, bare, words
from thermo_kit.panels.html import alert, style_sheet, told_look
from thermo_kit.places import keep, kept
from thermo_kit.units import (
    UnitSystem,
    atmosphere_pressure,
    format_quantity,
    parse_quantity,
    sign_of,
    to_display,
    us_beside_si,
)
from thermo_kit.units.look import Look

SHOWN = ("system", "altitude", "gauge", "comma")
COUNTRIES = {"EU": "European Union", "US": "United States", "": "elsewhere"}
KEPT_AS = "settings"


class View(traitlets.HasTraits):
    """The shared choice: unit system, altitude of the workshop, gauge or absolute, decimal comma; altitude [m].

    Whoever shows numbers observes these traits and redraws with `look`; `country` says whose rules are shown.
    """

    system = traitlets.UseEnum(UnitSystem, UnitSystem.SI)
    altitude = traitlets.Float(0.0)
    gauge = traitlets.Bool(True)
    comma = traitlets.Bool(False)
    country = traitlets.Enum(tuple(COUNTRIES), "EU")

    @traitlets.validate("altitude")
    def _check_altitude(self, proposal):
        atmosphere_pressure(proposal.value)
        return float(proposal.value)

    @property
    def look(self):
        """The choice as the charts take it."""
        return Look(self.system, self.altitude, self.gauge, self.comma)

    def snapshot(self):
        """Return the choice as plain values that can be written to a file."""
        return self.trait_values() | {"system": self.system.value}

    def restore(self, saved):
        """Take over a choice that `snapshot` gave; nothing changes if any part of it is unusable."""
        problem = Problem("saved view", repr(saved)[:80], "cannot be read", "choose units and altitude again")
        if (
            not isinstance(saved, dict)
            or set(saved) - set(self.trait_names())
            or isinstance(saved.get("altitude"), bool)
        ):
            raise InputError(problem)
        wanted = self.snapshot() | saved
        try:
            checked = View(**wanted | {"system": UnitSystem(wanted["system"])})
        except (traitlets.TraitError, ValueError) as reason:
            raise InputError(problem) from reason
        for name, value in checked.trait_values().items():
            setattr(self, name, value)

    def reset(self):
        """Go back to SI, sea level, gauge pressure and the decimal point."""
        self.restore(View().snapshot())


@functools.cache
def the_view():
    """Return the one view that all panels of this notebook share; it begins as the learner left it on another page."""
    view = View()
    with contextlib.suppress(InputError):
        view.restore(kept(KEPT_AS) or {})
    return view


class ViewSwitch(ToldBox):
    """The labelled controls for the shared view, meant for the top of a notebook; told_at [m]: where its story is."""

    def __init__(self, view, told_at=None):
        self._view, self._told_at = view, told_at
        systems = [("SI (bar, °C, kg)", UnitSystem.SI), ("US customary (psi, °F, lb)", UnitSystem.US)]
        self.units = _drop_down("Units", systems)
        self.pressures = _drop_down("Pressures", [("as a gauge reads", True), ("absolute", False)])
        self.altitude = bare(widgets.Text, continuous_update=False, layout=widgets.Layout(width="220px"))
        self.numbers = _drop_down("Numbers", [("2.5 (point)", False), ("2,5 (comma)", True)])
        self.country = _drop_down("Rules of", [(name, key) for key, name in COUNTRIES.items()])
        self.error_line, self.told = words(), words()
        choices = (self.units, self.pressures, self.altitude, self.numbers, self.country)
        row = bare(widgets.HBox, choices, css="tk-switch-row")
        super().__init__((words(style_sheet()), row, self.error_line, self.told))
        self.add_class("tk-switch")
        self._lists = {
            "system": self.units, "gauge": self.pressures, "comma": self.numbers, "country": self.country
        }  # fmt: skip
        self._show()
        for name, drop_down in self._lists.items():
            drop_down.observe(lambda change, name=name: self._take(name, change.new), "value")
        self.altitude.observe(self._on_altitude, "value")
        view.observe(lambda _change: self._show(), (*SHOWN, "country"))

    def _show(self):
        look = self._view.look
        self.told.value = told_look(us_beside_si() if look.system is UnitSystem.US else {}, look.comma)
        for name, drop_down in self._lists.items():
            drop_down.value = getattr(self._view, name)
        self.altitude.description = f"Altitude in {sign_of('altitude', look.system)}"
        self._shown_altitude = f"{to_display(look.altitude, 'altitude', look.system):.0f}"
        self.altitude.value = self._shown_altitude
        self.error_line.value = ""
        if self._told_at is not None and abs(look.altitude - self._told_at) > 1.0:
            there = format_quantity(self._told_at, "altitude", look.system)
            told = f"The text of this page tells the numbers of {there}: set this altitude to see them in the panels."
            self.error_line.value = f'<div class="tk-help">{told}</div>'

    def _take(self, name, value):
        """Take over what the learner chose, for this page and all others."""
        if getattr(self._view, name) != value:
            setattr(self._view, name, value)
            if self._view is the_view():
                # For every other page; what a page chose for its story is not kept.
                keep(KEPT_AS, {**(kept(KEPT_AS) or {}), name: self._view.snapshot()[name]})

    def _on_altitude(self, change):
        if change.new == self._shown_altitude:
            self.error_line.value = ""
            return
        try:
            sign = sign_of("altitude", self._view.system)
            self._take("altitude", parse_quantity(change.new, sign, argument="altitude", comma=self._view.comma))
            self._show()
        except ThermoKitError as error:
            self.error_line.value = alert(f"{error}. The panels still use {self._shown_altitude} {sign}.")

    def __repr__(self):
        look = self._view.look
        pressures = "as a gauge reads" if look.gauge else "absolute"
        units = "SI" if look.system is UnitSystem.SI else "US customary"
        altitude = format_quantity(look.altitude, "altitude", look.system)
        return f"Units: {units}. Pressures: {pressures}. Altitude: {altitude}."


def _drop_down(label, options):
    return bare(widgets.Dropdown, description=label, options=options)


def view_switch(*, system=None, altitude=None, gauge=None):
    """Show the switch that every panel obeys; the values hold until the learner has chosen; altitude [m]."""
    view, chosen = the_view(), kept(KEPT_AS) or {}
    for name, value in (("system", system), ("altitude", altitude), ("gauge", gauge)):
        if value is not None and name not in chosen:
            setattr(view, name, value)
    return ViewSwitch(view, altitude)
