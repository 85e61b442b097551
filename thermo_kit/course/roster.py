"""The list of learners: a CSV file with a header line and a column `learner`."""

import csv
import io
import itertools
from pathlib import Path

from thermo_kit.course.files import read_limited
from thermo_kit.course.tickets import LEARNER_ID
from thermo_kit.errors import Problem, RosterError

ROSTER_LIMIT = 1_000_000
COLUMN = "learner"
# Folder names that some systems refuse whatever their ending.
RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in range(1, 10))}


def read_roster(path):
    """The learners of a roster file, checked line by line: id → what its further columns hold."""
    path, learners, problems, first_line = Path(path), {}, [], {}
    for number, told in csv_table(path, [COLUMN]):
        learner = told.pop(COLUMN)
        if wrong := _wrong_with(learner, first_line):
            problems.append(Problem(f"{path.name}, line {number}", *wrong))
        else:
            first_line[learner.casefold()] = number
            learners[learner] = {name: cell for name, cell in told.items() if name}
    if problems:
        raise RosterError(*problems)
    if not learners:
        raise RosterError.about(path.name, "names no learner", advice="write one id a line below the header")
    return learners


def csv_table(path, needed, limit=ROSTER_LIMIT):
    """The rows below the header of an instructor's CSV file, with whichever separator.

    needed: names of columns that the header must hold once
    → pairs of line number and column → cell; the needed columns by those names, others as they are written
    """
    rows = _rows(path, _text(path, limit))
    if not rows:
        told = f"write a header line with `{', '.join(needed)}`, then a row a line"
        raise RosterError.about(path.name, "is empty", advice=told)
    number, head = rows[0]
    head = [cell.casefold() if cell.casefold() in needed else cell for cell in head]
    for name in needed:
        if head.count(name) != 1:
            told = f"has {head.count(name) or 'no'} column{'s' if head.count(name) > 1 else ''} `{name}`"
            limit, advice = "where exactly one is needed", f"name one column {name} in the header line"
            raise RosterError.about(f"{path.name}, line {number}", told, limit, advice)
    return [(number, dict(itertools.zip_longest(head, row[: len(head)], fillvalue=""))) for number, row in rows[1:]]


def _text(path, limit):
    raw = read_limited(path, limit).replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line, told = raw[: error.start].count(b"\n") + 1, "holds a letter that is not UTF-8"
        raise RosterError.about(f"{path.name}, line {line}", told, advice="save the file again as CSV UTF-8") from error


def _rows(path, text):
    """The rows that hold something, each with the number of its last line."""
    lines = text.split("\n")
    filled = [number for number, line in enumerate(lines) if line.strip()]
    if filled and lines[filled[0]].casefold().startswith("sep="):
        # Some spreadsheets name their separator first; emptied, so that the line numbers still hold.
        lines[filled.pop(0)] = ""
    separator = max(",;\t", key=lines[filled[0]].count) if filled else ","
    reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=separator, strict=True)
    try:
        return [(reader.line_num, [cell.strip() for cell in row]) for row in reader if any(map(str.strip, row))]
    except csv.Error as error:
        where, told = f"{path.name}, line {reader.line_num}", f"is no proper CSV line ({error})"
        raise RosterError.about(where, told, advice="check the quotation marks") from error


def _wrong_with(learner, first_line):
    if not learner:
        return "names no learner", "", "write an id, or remove the line"
    if not LEARNER_ID.fullmatch(learner):
        return (
            f"has the id {learner[:40]!a}",
            "which may hold only A to Z, digits, - and _, start with a letter or digit, and be at most 32 long",
            "give a plain id such as A01",
        )
    if learner.casefold() in RESERVED:
        return f"has the id {learner}", "which some computers refuse as a folder name", "give another id"
    if learner.casefold() in first_line:
        return f"names {learner} again", f"after line {first_line[learner.casefold()]}", "every id once"
    return None
