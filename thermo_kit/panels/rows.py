"""What panels say, told as data: `rows.toml` the small tables, `texts.toml` notes and sentences."""

import functools
import tomllib
from pathlib import Path


@functools.cache
def told_in(name):
    """Return what a file beside this one tells."""
    return tomllib.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def rows_of(table, look, *things, **named):
    """Return the rows of a table, its numbers looked for in named values and in the fields of things."""
    rows = told_in("rows.toml")[table].items()
    return tuple(
        tuple(look.say(text, *things, **named) for text in (label, *([cells] if isinstance(cells, str) else cells)))
        for label, cells in rows
    )


def texts_of(name, look, *things, **named):
    """Return notes or sentences, their numbers looked for as in `rows_of`."""
    return tuple(look.say(text, *things, **named) for text in told_in("texts.toml")[name])
