"""Texts in a specification: their length, an empty one where that is the default, lists of pairs, from a file."""

import pytest

from thermo_kit.errors import InputError
from thermo_kit.units import Several, Spec, Word, from_table, several, word


class Sign(Spec):
    """A sign with pairs of names."""

    name: str = word("name of the sign")
    title: str = word("title of the sign", "", longest=5)
    pairs: tuple = several(Several(Word("end"), 2, 2), 1, 3)


def test_texts_and_pairs_are_kept_as_given():
    sign = from_table(Sign, {"name": "a", "pairs": [["x", "y"]]}, "file")
    assert sign == Sign(name="a", pairs=(("x", "y"),)) and sign.title == ""
    assert "name of the sign, a text of at most 60 characters" in Sign.__doc__


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ({"name": ""}, "name of the sign '' is not a text of 1 to 60 characters"),
        ({"name": 7}, "name of the sign 7 is not a text"),
        ({"name": "a" * 61}, "name of the sign"),
        ({"title": "too long"}, "title of the sign 'too long' is not a text of 0 to 5"),
        ({"pairs": [["x"]]}, "end 1 .*is not a list of 2 to 2"),
        ({"pairs": [["x", 3]]}, "end 2 1 3 is not a text"),
        ({"pairs": "xy"}, "end .*is not a list"),
    ],
)
def test_other_things_are_refused(table, words):
    with pytest.raises(InputError, match=words):
        from_table(Sign, {"name": "a", "pairs": [["x", "y"]], **table}, "file")
