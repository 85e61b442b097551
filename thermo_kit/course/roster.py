"""The list of learners: a CSV file with a header line and a column `learner`."""

import csv
import io
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
    path = Path(path)
    rows = csv_rows(path)
    header = next(((number, row) for number, row in rows if any(cell.strip() for cell in row)), None)
    if header is None:
        raise RosterError.about(
            path.name, "is empty", advice=f"write a header line with `{COLUMN}`, then one id a line"
        )
    names = [cell.strip().casefold() for cell in header[1]]
    if names.count(COLUMN) != 1:
        raise RosterError.about(
            f"{path.name}, line {header[0]}",
            f"has {names.count(COLUMN) or 'no'} column{'s' if names.count(COLUMN) > 1 else ''} `{COLUMN}`",
            "where exactly one is needed",
            f"name one column {COLUMN} in the header line",
        )
    column = names.index(COLUMN)
    learners, problems, first_line = {}, [], {}
    for number, row in rows:
        if number <= header[0] or not any(cell.strip() for cell in row):
            continue
        learner = row[column].strip() if column < len(row) else ""
        told = _wrong_with(learner, first_line)
        if told:
            problems.append(Problem(f"{path.name}, line {number}", *told))
        else:
            first_line[learner.casefold()] = number
            further = zip(header[1], row, strict=False)
            learners[learner] = {name.strip(): cell.strip() for name, cell in further if name.strip()}
            del learners[learner][header[1][column].strip()]
    if problems:
        raise RosterError(*problems)
    if not learners:
        raise RosterError.about(path.name, "names no learner", advice="write one id a line below the header")
    return learners


def _text(path, limit):
    raw = read_limited(path, limit).replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise RosterError.about(
            f"{path.name}, line {line}", "holds a letter that is not UTF-8", advice="save the file again as CSV UTF-8"
        ) from error


def csv_rows(path, limit=ROSTER_LIMIT):
    """The rows of a CSV file of an instructor, with whichever separator, each with the number of its last line."""
    text = _text(path, limit)
    lines = text.split("\n")
    filled = [number for number, line in enumerate(lines) if line.strip()]
    if filled and lines[filled[0]].casefold().startswith("sep="):
        # Some spreadsheets name their separator first; emptied, so that the line numbers still hold.
        lines[filled.pop(0)] = ""
    first = lines[filled[0]] if filled else ""
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=separator, strict=True)
    rows = []
    try:
        for row in reader:
            rows.append((reader.line_num, row))
    except csv.Error as error:
        raise RosterError.about(
            f"{path.name}, line {reader.line_num}",
            f"is no proper CSV line ({error})",
            advice="check the quotation marks",
        ) from error
    return rows


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
