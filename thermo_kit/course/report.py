"""What marking found, as lines to read, as a CSV file and as JSON."""

import csv
import itertools
import re

from thermo_kit.course.files import write_atomically
from thermo_kit.course.keys import MARKS
from thermo_kit.errors import FileAccessError, Problem
from thermo_kit.units.look import percent

# Some spreadsheets take the wide signs of East Asian keyboards for the plain ones.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "＝", "＋", "－", "＠", "｜", "％")
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
FORMULA_IN_A_LIST = re.compile(rf'(,[\s"]*)([{re.escape("".join(FORMULA_STARTS))}])')
CSV_ADVICE = (
    "close it in the spreadsheet program if it is open there, see that you may write there and that the disk is not "
    "full, and mark again; the marks are safe in the mark book"
)


def report_lines(marking, folder):
    """Yield the outcome as plain lines."""
    for exercise in marking.questions:
        names = marking.questions[exercise]
        rows = [(s.learner, total(s), *signs(s, names)) for s in marking.marked.of(exercise)]
        if rows:
            yield from (f"Exercise {exercise}", *aligned([("learner", "points", *names), *rows]), "")
    if marking.marked:
        yield from ("Signs: " + ", ".join(f"{sign} {word}" for word, sign in MARKS.items()), "")
    misunderstood = [(len(who), *place, ", ".join(who)) for place, who in marking.misunderstandings().items()]
    by_hand = (
        f"  {s.learner}, {s.exercise}, {v.question}: {_printable(s.answers.get(v.question, ''))} ({_proposed(v)})"
        for s in marking.standings
        for v in s.verdicts
        if v.is_open
    )
    alike = (
        f"  {' and '.join(pair.learners)}, {pair.exercise}, {pair.question}: {percent(pair.share)} of the word runs"
        for pair in marking.alike
    )
    earlier = (
        f"  {s.learner}, {s.exercise}: {total(s)}, {s.marked_at}"
        + (" (the sheet that is here now was not marked)" if s.reason else "")
        for s in marking.marked_earlier
    )
    heads = ("learners", "exercise", "question", "mistake", "who")
    for head, told in (
        ("Who misunderstands what", aligned([heads, *misunderstood]) if misunderstood else ()),
        ("To be settled by hand with `thermo-kit review` (totals with such an answer are provisional)", by_hand),
        ("Reasons that are alike: a hint to read both side by side, not a verdict", alike),
        ("Not marked", _named(marking.not_marked, folder)),
        ("Not recognised as answer sheets, and not marked", _named(marking.not_recognised, folder)),
        ("No sheet yet", (f"  {learner}, {exercise}" for learner, exercise in marking.missing)),
        ("Marked earlier (from the mark book)", earlier),
    ):
        lines = iter(told)
        if first := next(lines, None):
            yield from itertools.chain((head, first), lines, ("",))
    new = sum(entry.is_new for entry in marking.marked.entries)
    counted = (
        f"{len(marking.marked)} sheets marked ({new} new in the mark book), {len(marking.not_marked)} not marked, "
        f"{len(marking.missing)} missing"
    )
    counted += f", {len(marking.marked_earlier)} marked earlier" if marking.marked_earlier else ""
    counted += f", {len(marking.not_recognised)} not recognised" if marking.not_recognised else ""
    yield counted + "."


def _named(files, folder):
    return (f"  {_short(n.path, folder)}: {_printable(n.reason)}" for n in files)


def signs(standing, questions):
    """The signs of a standing's verdicts in the order of the questions; empty for one that its key did not ask."""
    own = {verdict.question: MARKS[verdict.verdict] for verdict in standing.verdicts}
    return [own.get(question, "") for question in questions]


def total(of):
    """The points of a standing or a marked sheet in words."""
    return f"{of.points:g} of {of.out_of:g}" + (" provisional" if of.is_provisional else "")


def _proposed(verdict):
    told = f"proposed {verdict.points:g} of {verdict.out_of:g}"
    return told + ("; an earlier decision lapsed, for the answer changed" if verdict.has_lapsed else "")


def write_csv_files(marking, folder, separator="comma"):
    """One CSV file for each exercise, a row for everyone on the class list."""
    written, problems = [], []
    for exercise in marking.questions:
        path = folder / f"marks_{exercise}.csv"
        try:
            write_table(path, _rows(marking, exercise), separator)
            written.append(path)
        except FileAccessError as error:
            problems += [Problem(p.argument, p.given, p.limit, CSV_ADVICE) for p in error.problems]
    return written, problems


def _rows(marking, exercise):
    alike, has_alike = _alike_of(marking), exercise in {pair.exercise for pair in marking.alike}
    for s in marking.standings.of(exercise):
        row = {"learner": s.learner, "exercise": exercise, "state": s.state}
        sums = {"points": s.points, "out_of": s.out_of, "still_to_read_by_hand": sum(v.is_open for v in s.verdicts)}
        sums["total"] = "provisional" if s.is_provisional else "settled"
        row |= sums if s.verdicts else dict.fromkeys(sums, "")
        row |= {"marked_earlier_at": s.marked_at, "reason": s.reason}
        row |= {"reasons_alike": alike.get((s.learner, exercise), "")} if has_alike else {}
        verdicts = {v.question: v for v in s.verdicts}
        for name in marking.questions[exercise]:
            v = verdicts.get(name)
            row[f"{name}_answer"] = as_text(s.answers.get(name, "")) if v else ""
            row[f"{name}_points"] = v.points if v else ""
            row |= {f"{name}_verdict": v.verdict if v else "", f"{name}_mistake": v.mistake if v else ""}
            row[f"{name}_decided"] = "; ".join(told_decisions(v)) if v else ""
        yield row


def write_table(path, rows, separator="comma"):
    """Write rows, each column → cell, as a CSV file whose cells are safe in a spreadsheet.

    With a semicolon numbers have a decimal comma, as spreadsheets want it that separate so.
    """
    write_atomically(path, _lines(rows, SEPARATORS[separator]), mode=0o600)


def _lines(rows, separator):
    writer = csv.writer(_Line, delimiter=separator, lineterminator="\r\n", quoting=csv.QUOTE_NONNUMERIC)
    # Spreadsheets take a file with this mark for UTF-8.
    yield "\ufeff"
    for number, row in enumerate(rows):
        for cells in [row.values()] if number else [row.keys(), row.values()]:
            yield writer.writerow([_cell(cell, separator) for cell in cells])


class _Line:
    # What the writer of CSV writes is what it returns.
    write = str


def _cell(cell, separator):
    if isinstance(cell, float) and separator == ";":
        return f"{cell:g}".replace(".", ",")
    return safe_cell(cell) if isinstance(cell, str) else cell


def _alike_of(marking):
    found = {}
    for pair in marking.alike:
        for one, other in (pair.learners, pair.learners[::-1]):
            found.setdefault((one, pair.exercise), []).append(f"{pair.question} like {other} ({percent(pair.share)})")
    return {place: ", ".join(told) for place, told in found.items()}


def as_text(given):
    """An answer on one line: a text, or steps in order."""
    return " > ".join(given) if isinstance(given, list) else given


def told_decisions(verdict):
    """The decisions on a question as lines, the last one first."""
    told = []
    for decision in reversed(verdict.history):
        points = "taken back" if decision.points is None else f"{decision.points:g} of {verdict.out_of:g}"
        told.append(f"{points}, {decision.decided_by}, {decision.decided_at}: {decision.why}".removesuffix(": "))
    return ["lapsed, for the answer changed", *told] if verdict.has_lapsed else told


def as_data(marking, folder):
    """Return the outcome as plain data for JSON."""
    return {
        "marked": [
            _facts(m, "learner", "exercise", "points", "out_of", "is_provisional")
            | {"new": m.is_new, "questions": {v.question: _question_facts(v) for v in m.verdicts}}
            for m in marking.marked
        ],
        "misunderstandings": [
            {"exercise": exercise, "question": question, "mistake": mistake, "learners": learners}
            for (exercise, question, mistake), learners in marking.misunderstandings().items()
        ],
        "not_marked": [{"sheet": _short(n.path, folder), "reason": n.reason} for n in marking.not_marked],
        "not_recognised": [{"file": _short(n.path, folder), "reason": n.reason} for n in marking.not_recognised],
        "alike": [_facts(pair, "exercise", "question", "share", "learners") for pair in marking.alike],
        "missing": [{"learner": learner, "exercise": exercise} for learner, exercise in marking.missing],
        "marked_earlier": [
            _facts(s, "learner", "exercise", "points", "out_of", "is_provisional", "marked_at")
            for s in marking.marked_earlier
        ],
    }


def _question_facts(verdict):
    facts = _facts(verdict, "verdict", "points", "out_of", "mistake") | {"open": verdict.is_open}
    if verdict.history:
        names = ("points", "why", "decided_by", "decided_at", "sheet_digest")
        facts["decisions"] = [_facts(decision, *names) for decision in verdict.history]
    return facts


def _facts(thing, *names):
    return {name: getattr(thing, name) for name in names}


def safe_cell(text):
    """A text that no spreadsheet takes for a formula, whichever sign it takes for the separator of a list."""
    # A spreadsheet that splits at another sign than the file would begin a new cell inside quotation marks.
    text = FORMULA_IN_A_LIST.sub(r"\1'\2", _printable(text).replace(";", ","))
    return f"'{text}" if text.lstrip().startswith(FORMULA_STARTS) else text


def _printable(text):
    # A learner's text must not steer the terminal.
    return "".join(letter if letter.isprintable() else " " for letter in str(text))


def _short(path, folder):
    try:
        return _printable(path.relative_to(folder))
    except ValueError:
        return _printable(path)


def aligned(table):
    """Rows of cells as lines with columns."""
    widths = [max(len(str(row[i])) for row in table) for i in range(len(table[0]))]
    return ["  " + "  ".join(str(cell).ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in table]
