"""What marking found, as lines to read, as a CSV file and as JSON."""

import csv
import io

from thermo_kit.course.files import write_atomically
from thermo_kit.course.keys import BY_HAND, MARKS

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%")


def report_lines(marking, folder):
    """The outcome as plain lines.

    Parameters
    ----------
    marking : Marking
        from `mark_class`
    folder : Path
        the class's folder, to shorten the paths

    Returns
    -------
    list of str
        tables, misunderstandings, what was not marked, what is missing
    """
    lines = []
    for exercise in marking.exercises:
        rows = [m for m in marking.marked if m.exercise == exercise]
        names = [verdict.question for verdict in rows[0].verdicts]
        table = [("learner", "points", *names)]
        for m in rows:
            marks = [MARKS[verdict.verdict] for verdict in m.verdicts]
            table.append((m.learner, f"{m.points:g} of {m.out_of:g}", *marks))
        lines += [f"Exercise {exercise}", *_aligned(table), ""]
    if marking.marked:
        lines += ["Signs: " + ", ".join(f"{sign} {word}" for word, sign in MARKS.items()), ""]
    found = marking.misunderstandings()
    if found:
        table = [("learners", "exercise", "question", "mistake", "who")]
        table += [
            (len(learners), exercise, question, mistake, ", ".join(learners))
            for (exercise, question, mistake), learners in found.items()
        ]
        lines += ["Who misunderstands what", *_aligned(table), ""]
    by_hand = [
        f"  {m.learner}, {m.exercise}, {v.question}: {_printable(m.sheet.answers.get(v.question, ''))}"
        for m in marking.marked
        for v in m.verdicts
        if v.verdict == BY_HAND
    ]
    if by_hand:
        lines += ["To be read by hand (the points so far only count the words that were looked for)", *by_hand, ""]
    if marking.not_marked:
        lines.append("Not marked")
        lines += [f"  {_short(n.path, folder)}: {_printable(n.reason)}" for n in marking.not_marked]
        lines.append("")
    if marking.missing:
        lines.append("No sheet yet")
        lines += [f"  {learner}, {exercise}" for learner, exercise in marking.missing]
        lines.append("")
    new = sum(m.is_new for m in marking.marked)
    lines.append(
        f"{len(marking.marked)} sheets marked ({new} new in the mark book), {len(marking.not_marked)} not marked, "
        f"{len(marking.missing)} missing."
    )
    return lines


def write_csv_files(marking, folder):
    """One CSV file for each exercise, its cells safe in a spreadsheet.

    Parameters
    ----------
    marking : Marking
        from `mark_class`
    folder : Path
        where the files go

    Returns
    -------
    list of Path
        the files
    """
    written = []
    for exercise in marking.exercises:
        rows = [m for m in marking.marked if m.exercise == exercise]
        names = [verdict.question for verdict in rows[0].verdicts]
        head = ["learner", "exercise", "points", "out_of", "still_to_read_by_hand"]
        for name in names:
            head += [f"{name}_answer", f"{name}_points", f"{name}_verdict", f"{name}_mistake"]
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow(head)
        for m in rows:
            line = [m.learner, exercise, m.points, m.out_of, sum(v.verdict == BY_HAND for v in m.verdicts)]
            for v in m.verdicts:
                given = m.sheet.answers.get(v.question, "")
                text = " > ".join(given) if isinstance(given, list) else given
                line += [safe_cell(text), v.points, v.verdict, safe_cell(v.mistake)]
            writer.writerow(line)
        path = folder / f"marks_{exercise}.csv"
        # Spreadsheets take a file with this mark for UTF-8.
        write_atomically(path, "\ufeff" + out.getvalue(), mode=0o600)
        written.append(path)
    return written


def as_data(marking, folder):
    """The outcome as plain data for JSON.

    Parameters
    ----------
    marking : Marking
        from `mark_class`
    folder : Path
        the class's folder, to shorten the paths

    Returns
    -------
    dict
        marked, misunderstandings, not_marked, missing
    """
    return {
        "marked": [
            {
                "learner": m.learner,
                "exercise": m.exercise,
                "points": m.points,
                "out_of": m.out_of,
                "new": m.is_new,
                "questions": {
                    v.question: {"verdict": v.verdict, "points": v.points, "out_of": v.out_of, "mistake": v.mistake}
                    for v in m.verdicts
                },
            }
            for m in marking.marked
        ],
        "misunderstandings": [
            {"exercise": exercise, "question": question, "mistake": mistake, "learners": learners}
            for (exercise, question, mistake), learners in marking.misunderstandings().items()
        ],
        "not_marked": [{"sheet": _short(n.path, folder), "reason": n.reason} for n in marking.not_marked],
        "missing": [{"learner": learner, "exercise": exercise} for learner, exercise in marking.missing],
    }


def safe_cell(text):
    """A text that no spreadsheet takes for a formula.

    Parameters
    ----------
    text : str
        anything a learner wrote

    Returns
    -------
    str
        the same, with a leading apostrophe where needed

    Examples
    --------
    >>> safe_cell("=1+1")
    "'=1+1"
    >>> safe_cell("5 K")
    '5 K'
    """
    text = _printable(text)
    return f"'{text}" if text.lstrip().startswith(FORMULA_STARTS) else text


def _printable(text):
    # A learner's text must not steer the terminal.
    return "".join(letter if letter.isprintable() else " " for letter in str(text))


def _short(path, folder):
    try:
        return _printable(path.relative_to(folder))
    except ValueError:
        return _printable(path)


def _aligned(table):
    widths = [max(len(str(row[i])) for row in table) for i in range(len(table[0]))]
    return ["  " + "  ".join(str(cell).ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in table]
