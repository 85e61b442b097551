"""The small tables of the panels, told as data: `rows.toml` says what stands in each row."""

import functools
import tomllib
from pathlib import Path


@functools.cache
def _tables():
    return tomllib.loads(Path(__file__).with_name("rows.toml").read_text(encoding="utf-8"))


def rows_of(table, look, *things, **named):
    """Return the rows of a table, its numbers looked for in named values and in the fields of things."""
    rows = _tables()[table].items()
    return tuple(
        tuple(look.say(text, *things, **named) for text in (label, *([cells] if isinstance(cells, str) else cells)))
        for label, cells in rows
    )
