"""The glossary: the one list of words, as a table for learners."""

from thermo_kit.panels.tables import table
from thermo_kit.units import UnitSystem, sign_of
from thermo_kit.units.words import WORDS


def glossary():
    """Return the words of the workbook as a table, sorted by the field's name."""
    rows = []
    for entry in sorted(WORDS.values(), key=lambda w: w.name):
        signs = dict.fromkeys(sign_of(entry.kind, system) for system in UnitSystem)
        rows.append(
            [entry.name.replace("_", " "), entry.sign, ", ".join(signs) or "–", entry.meaning, entry.trade],
        )
    return table("Words of the trade", ["word", "sign", "unit", "what it means", "at the vehicle"], rows)
