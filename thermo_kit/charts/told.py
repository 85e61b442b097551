"""What pictures say, told as data: `sentences.toml` has the sentence of each."""

import functools
import tomllib
from pathlib import Path


@functools.cache
def _sentences():
    return tomllib.loads(Path(__file__).with_name("sentences.toml").read_text(encoding="utf-8"))


def listed(words, before=""):
    """Return words as a list that is read out; before: what stands before each but the first.

    Examples
    --------
    >>> listed(["12", "8", "4"]), listed(["limit", "class"], "the ")
    ('12, 8 and 4', 'limit and the class')
    """
    *first, last = words
    return f"{f', {before}'.join(first)} and {before}{last}" if first else last


def sentence_of(picture, look, *things, **named):
    """Return the sentence of a picture, its numbers looked for in named values and in the fields of things."""
    return look.say(_sentences()[picture], *things, **named)
