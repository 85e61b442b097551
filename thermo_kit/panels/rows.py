"""What panels say, told as data: `rows.toml` the small tables, `texts.toml` notes and sentences."""

import functools
import tomllib
from pathlib import Path


@functools.cache
def told_in(name):
    """Return what a file beside this one tells."""
    return tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def rows_of(table, look, *things, **named):
    """Return the rows of a table, its numbers looked for in named values and in the fields of things.

    A row that has nothing to say, since its number is None, is left out.
    """
    rows = (
        tuple(look.say(text, *things, **named) for text in (label, *([cells] if isinstance(cells, str) else cells)))
        for label, cells in told_in("rows.toml")[table].items()
    )
    return tuple(row for row in rows if any(row[1:]))


def texts_of(name, look, *things, **named):
    """Return notes or sentences, their numbers looked for as in `rows_of`."""
    return tuple(look.say(text, *things, **named) for text in told_in("texts.toml")[name])
