"""The skills that the law asks for, each with the lessons and the topics of the bank that prepare for it."""

import functools
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from typing import NamedTuple

from thermo_kit.panels.tables import table

KINDS = {"knowledge": "to know", "practical": "by hand"}
PREPARES = "The workbook prepares for these rows. What a row asks of your hands it cannot attest."


@dataclass(frozen=True)
class Topic:
    """A topic of the bank: its title, and the lessons to read for it."""

    title: str
    lessons: list[str]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One skill that the law asks for, in our own words."""

    id: str
    region: str
    source: str
    kind: str
    text: str
    seen: str
    lessons: list[str]
    topics: list[str]
    attestations: list[str] = ()
    in_force: str = ""
    note: str = ""


class Syllabus(NamedTuple):
    """All topics by name, and all rows."""

    topics: dict[str, Topic]
    rows: tuple[Row, ...]


@functools.cache
def load_syllabus():
    """Return the syllabus that belongs to the workbook."""
    data = tomllib.loads((files("thermo_kit.practice") / "syllabus.toml").read_text(encoding="utf-8"))
    topics = {name: Topic(**one) for name, one in data["topics"].items()}
    return Syllabus(topics, tuple(Row(**one) for one in data["row"]))


@dataclass(frozen=True)
class Folded:
    """What a cell shows folded under one line; its text equivalent is the whole."""

    line: str
    inside: object

    def __repr__(self):
        # Without the blanks that line up columns: a row may be long.
        rows = [" | ".join(row) for row in (self.inside.heads, *self.inside.rows)]
        return "\n".join([self.line, *rows])

    def _repr_html_(self):
        return f"<details><summary>{self.line}</summary>{self.inside._repr_html_()}</details>"


def syllabus_table():
    """Show every row of the syllabus with the lessons and topics that prepare for it, folded."""
    syllabus = load_syllabus()
    rows = []
    for row in syllabus.rows:
        text, source = row.text + (f" ({row.note})" if row.note else ""), row.source
        source += ", from memory" if row.seen == "memory" else ""
        topics = ", ".join(syllabus.topics[topic].title for topic in row.topics)
        marks, lessons = ", ".join(row.attestations) or "–", ", ".join(row.lessons)
        rows.append([text, KINDS[row.kind], source, marks, lessons, topics])
    heads = ["what the law asks for", "how", "where it stands", "attestation", "lessons", "practise"]
    line = f"{len(rows)} skills that the law asks for, and where you learn them. {PREPARES}"
    return Folded(line, table("Skills and lessons", heads, rows))
