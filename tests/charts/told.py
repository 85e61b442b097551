"""What a picture tells, as tests ask for it."""

import re
import xml.etree.ElementTree as ElementTree

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg):
    """Return all texts of a layer."""
    return [text.text for text in ElementTree.fromstring(svg).iter(SVG + "text")]


def words(picture):
    """Return all texts of both layers as one."""
    return " ".join(re.findall(r">([^<>]+)</text>", picture.still + picture.moving))
