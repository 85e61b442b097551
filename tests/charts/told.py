"""What a picture tells, as tests ask for it."""

import re
import xml.etree.ElementTree as ElementTree

from thermo_kit.charts import Look
from thermo_kit.units import UnitSystem

SVG = "{http://www.w3.org/2000/svg}"
LOOKS = (Look(), Look(system=UnitSystem.US, altitude=1600.0))


def texts(svg):
    """Return all texts of a layer."""
    return [text.text for text in ElementTree.fromstring(svg).iter(SVG + "text")]


def words(picture):
    """Return all texts of both layers as one, with | before and behind each."""
    return f"|{'|'.join(re.findall(r'>([^<>]+)</text>', picture.still + picture.moving))}|"


def tells(draw, result, seen="", said="", unseen="", looks=LOOKS, **named):
    """Assert what a picture tells in words, in both systems of units.

    draw: takes a result and a look; seen: what is read in the picture, said: in its sentence, unseen: in neither;
    texts with "; " between, written as `Look.say` writes them, from the result and what is named; |a whole text|
    """
    assert seen or said or unseen, "nothing is asked for"
    for look in looks:
        picture = draw(result, look)
        drawn = words(picture)
        everywhere = f"{drawn} {picture.sentence}"
        for told, place, is_there in ((seen, drawn, True), (said, picture.sentence, True), (unseen, everywhere, False)):
            for text in filter(None, told.split("; ")):
                text = look.say(text, result, **named)
                assert (text in place) == is_there, f"{text} / {place}"
