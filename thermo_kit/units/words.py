"""The one list of quantities: the field's name, its sign, its kind, what it means, the trade's own word.

Result fields use these names. The glossary of the workbook and the tests of the docstrings read this list.
"""

import tomllib
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True)
class Word:
    """One quantity.

    name: field name in the package
    sign: printed symbol
    kind: key of `thermo_kit.units.KINDS`
    meaning: one sentence a beginner understands
    trade: what it is called at the vehicle
    """

    name: str
    sign: str
    kind: str
    meaning: str
    trade: str


_ROWS = tomllib.loads((files("thermo_kit.units") / "words.toml").read_text(encoding="utf-8"))
WORDS = {name: Word(name, *row) for name, row in _ROWS.items()}
"""Every quantity by its name."""
