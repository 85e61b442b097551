"""The small table of a cycle, with ± where the instruments are known."""

from thermo_kit.panels.rows import told_in
from thermo_kit.units import UnitSystem, decimals_of
from thermo_kit.units.words import WORDS


def cycle_rows(cycle, look):
    """Return the numbers of a cycle as rows of a table."""
    rows = []
    for label, name in told_in("rows.toml")["a cycle"].items():
        if getattr(cycle, name) is not None:
            rows.append((label.format(mass=mass_word(look)), told(cycle, name, look)))
    return tuple(rows)


def told(cycle, name, look):
    """Write one number of a cycle, with ± where it is known."""
    value, kind = getattr(cycle, name), WORDS[name].kind
    if name in cycle.uncertainty:
        return with_range(value, cycle.uncertainty[name], kind, look)
    return look.text(value, kind)


def mass_word(look):
    """Return what a specific quantity is counted by."""
    return "kilogram" if look.system is UnitSystem.SI else "pound"


def with_range(value, width, kind, look):
    """Write a value with its uncertainty and one unit; value [SI unit of the kind], width [SI unit of the kind].

    Examples
    --------
    >>> from thermo_kit.units.look import Look
    >>> with_range(301325.0, 16000.0, "gauge_pressure", Look())
    '2.00 ±0.16 bar(g)'
    >>> with_range(273.15, 1.5, "temperature", Look())
    '0.0 ±1.5 °C'
    """
    places = decimals_of(look.kind(kind), look.system)
    # A range has no zero point: gauge or absolute, °C or K, it is as wide as the difference of two numbers.
    shown = abs(look.number(value + width, kind) - look.number(value, kind))
    number, space, sign = look.text(value, kind).partition(" ")
    return f"{number} ±{shown:.{places}f}{space}{sign}"
