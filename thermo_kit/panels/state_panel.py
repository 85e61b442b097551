"""The learner picks a place on the pressure-enthalpy diagram and reads what the refrigerant is there."""

from dataclasses import dataclass

from thermo_kit.panels.controls import ChoiceControl, NumberControl
from thermo_kit.panels.frame import Description, Panel
from thermo_kit.substances import REFRIGERANT_NAMES, Refrigerant
from thermo_kit.units import barg, celsius

BY_ENTHALPY, BY_TEMPERATURE = "enthalpy", "temperature"


@dataclass(frozen=True, kw_only=True)
class StateSettings:
    """A refrigerant [name] at a pressure [Pa] and either an enthalpy [J/kg] or a temperature [K]."""

    refrigerant: str = "R-134a"
    pressure: float = barg(2.0)
    second: str = BY_ENTHALPY
    enthalpy: float = 300e3
    temperature: float = celsius(10)


def _lines(settings):
    from thermo_kit.substances.lines import property_lines

    return property_lines(settings.refrigerant)


def state_of(settings):
    """Return the state at the picked place."""
    fluid = Refrigerant(settings.refrigerant)
    if settings.second == BY_TEMPERATURE:
        return fluid.at(p=settings.pressure, T=settings.temperature)
    return fluid.at(p=settings.pressure, h=settings.enthalpy)


def describe(settings, look):
    """Return what the panel shows."""
    from thermo_kit.charts.cycle_drawing import Mark
    from thermo_kit.charts.pressure_enthalpy import diagram
    from thermo_kit.substances.lines import property_lines

    state = state_of(settings)
    words = _phase_words(state, settings, look)
    picture = diagram(
        property_lines(settings.refrigerant, look.system), look, marks=(Mark(state.p, state.h, _short(state, look)),)
    )
    rows = [
        ("Pressure", look.text(state.p, "pressure")),
        ("Temperature", look.text(state.T, "temperature")),
        ("Enthalpy", look.text(state.h, "specific_enthalpy")),
        ("Entropy", look.text(state.s, "specific_entropy")),
        ("Density", look.text(state.rho, "density")),
    ]
    if state.x is not None:
        rows.append(("Vapour share", f"{state.x:.3f}"))
    sentence = f"At {look.text(state.p, 'pressure')} and {look.text(state.h, 'specific_enthalpy')} {words}"
    return Description((picture,), sentence, tuple(rows), ())


def _short(state, look):
    where = {"two-phase": f"x {state.x:.2f}" if state.x is not None else ""}.get(state.phase, state.phase)
    return f"{look.text(state.T, 'temperature')}, {where}"


def _phase_words(state, settings, look):
    fluid = Refrigerant(settings.refrigerant)
    name, at = settings.refrigerant, look.text(state.T, "temperature")
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


def follow(settings, changed):
    """Return the other of enthalpy and temperature, so that changing the way of picking does not move the point."""
    if changed == "refrigerant":
        return _middle_of(settings)
    if changed in ("enthalpy", "temperature"):
        settings = _picked_by(settings, changed)
    state = state_of(settings)
    if settings.second == BY_TEMPERATURE:
        return {"second": BY_TEMPERATURE, "enthalpy": state.h}
    return {"second": BY_ENTHALPY, "temperature": state.T}


def _picked_by(settings, way):
    return StateSettings(**{**_values(settings), "second": way})


def _values(settings):
    return {name: getattr(settings, name) for name in StateSettings.__dataclass_fields__}


def _middle_of(settings):
    """A new refrigerant has another window; a point outside it moves to the middle of its dome."""
    lines = _lines(settings)
    inside_h = lines.lowest_enthalpy <= settings.enthalpy <= lines.highest_enthalpy
    inside_p = lines.lowest_pressure <= settings.pressure <= lines.highest_pressure
    pressure = settings.pressure if inside_p else (lines.lowest_pressure * lines.critical_pressure) ** 0.5
    enthalpy = settings.enthalpy if inside_h else lines.critical_enthalpy
    state = Refrigerant(settings.refrigerant).at(p=pressure, h=enthalpy)
    return {"pressure": pressure, "enthalpy": enthalpy, "temperature": state.T, "second": BY_ENTHALPY}


class StatePanel(Panel):
    """Pick a place on the diagram; the state there is read out."""

    title = "What is the refrigerant here?"
    Settings = StateSettings
    controls = (
        ChoiceControl("refrigerant", "Refrigerant", REFRIGERANT_NAMES),
        NumberControl(
            "pressure", "Pressure", "pressure",
            low=lambda settings: _lines(settings).lowest_pressure,
            high=lambda settings: _lines(settings).highest_pressure, step=0.05e5, us_step=1,
        ),
        NumberControl(
            "enthalpy", "Enthalpy", "specific_enthalpy",
            low=lambda settings: _lines(settings).lowest_enthalpy,
            high=lambda settings: _lines(settings).highest_enthalpy, step=1e3, us_step=0.5,
            help="Moves the point along a level line; the temperature follows.",
        ),
        NumberControl(
            "temperature", "Temperature", "temperature",
            low=lambda settings: _lines(settings).saturation_temperature[0],
            high=lambda settings: Refrigerant(settings.refrigerant).highest_temperature, step=0.5, us_step=1,
            help="Or type a temperature; the enthalpy follows.",
        ),
        ChoiceControl(
            "second", "When the pressure changes, keep",
            (("the enthalpy", BY_ENTHALPY), ("the temperature", BY_TEMPERATURE)),
        ),
    )  # fmt: skip
    describe = staticmethod(describe)
    follow = staticmethod(follow)
