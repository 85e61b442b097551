"""What pictures say, told as data: `sentences.toml` has the sentence of each."""

import functools
import tomllib
from pathlib import Path


@functools.cache
def _sentences():
    return tomllib.loads(Path(__file__).with_name("sentences.toml").read_text(encoding="utf-8"))


def sentence_of(picture, look, *things, **named):
    """Return the sentence of a picture, its numbers looked for in named values and in the fields of things."""
    return look.say(_sentences()[picture], *things, **named)
