"""A term as lines to read, as one CSV file and as JSON."""

from dataclasses import asdict

from thermo_kit.course.report import aligned, write_table
from thermo_kit.course.term import ENTERED, ExerciseRule

SIGNS = "* points still to be settled by a person, L late, R from a re-sit, – no mark, empty: not handed out"


def term_lines(term):
    """The term as plain lines: learners by exercises in per cent."""
    short = {exercise: exercise[:2] for exercise in term.exercises}
    table = [("learner", *short.values(), "total", "of what is marked")]
    table.append(("weight", *(f"{term.weight(exercise):g}" for exercise in term.exercises), "", ""))
    for learner in term.learners:
        totals = [_percent(term.total(learner, marked_only)) for marked_only in (False, True)]
        if learner in term.rules.withdrawn:
            totals = ["withdrawn", ""]
        cells = [_cell(term.entries.get((learner, exercise)), exercise) for exercise in term.exercises]
        table.append((learner, *cells, *totals))
    lines = ["Points in per cent of each exercise", *aligned(table), "", f"Signs: {SIGNS}", ""]
    for exercise in term.exercises:
        due = term.rules.exercises.get(exercise, ExerciseRule()).deadline
        lines.append(f"  {short[exercise]}  {exercise}" + (f", due {due}" if due else ""))
    history = [line for place, entry in term.entries.items() for line in _history(place, entry)]
    late = sum(one.is_late and one.time_from != ENTERED for entry in term.entries.values() for one in entry.attempts)
    notes = [f"  {note}" for note in term.notes]
    if late:
        told = "late by the time of the file, which copying changes: where you know better, enter it in term.toml"
        notes.append(f"  {late} {told}")
    for head, told in (("Several hand-ins, or late ones (> counts)", history), ("To be seen to", notes)):
        lines += ["", head, *told] if told else []
    return lines


def _cell(entry, exercise):
    if entry is None:
        return ""
    mark = entry.counting
    if mark is None:
        return "–"
    return f"{100 * mark.share:.0f}{'*' * mark.is_provisional}{'L' * mark.is_late}{'R' * (mark.exercise != exercise)}"


def _percent(share):
    return "" if share is None else f"{100 * share:.1f}"


def _history(place, entry):
    if len(entry.attempts) < 2 and not any(one.is_late for one in entry.attempts):
        return
    for one in entry.attempts:
        sign, late = ">" if one is entry.counting else " ", ", late" if one.is_late else ""
        when = f"{one.handed_in_at:%Y-%m-%d %H:%M} UTC ({one.time_from}){late}"
        yield f"{sign} {place[0]}, {one.exercise}, {one.number}: {one.points:g} of {one.out_of:g}, {when}"


def write_gradebook(term, folder, separator="comma"):
    """Write the one CSV file of a term; → its path."""
    further = dict.fromkeys(column for told in term.roster.values() for column in told)
    path = folder / "gradebook.csv"
    write_table(path, [_row(term, learner, further) for learner in term.learners], separator)
    return path


def _row(term, learner, further):
    told, row = term.roster.get(learner, {}), {"state": "withdrawn" if learner in term.rules.withdrawn else ""}
    for name, marked_only in (("total_percent", False), ("marked_percent", True)):
        share = term.total(learner, marked_only)
        row[name] = "" if share is None else round(100 * share, 2)
    own = {exercise: term.entries.get((learner, exercise)) for exercise in term.exercises}
    row["provisional"] = sum(bool(e and e.counting and e.counting.is_provisional) for e in own.values())
    for exercise, entry in own.items():
        mark, state, when = entry and entry.counting, "not handed out" if entry is None else "no mark", ""
        if mark:
            words = ["provisional" if mark.is_provisional else "marked"]
            state = " ".join([*words, *["late"] * mark.is_late, *["re-sit"] * (mark.exercise != exercise)])
            when = f"{mark.handed_in_at:%Y-%m-%dT%H:%M:%SZ} {mark.time_from}"
        row |= {f"{exercise}_points": round(mark.points, 4) if mark else ""}
        row |= {f"{exercise}_out_of": mark.out_of if mark else "", f"{exercise}_weight": term.weight(exercise)}
        row |= {f"{exercise}_state": state, f"{exercise}_hand_ins": len(entry.attempts) if entry else 0}
        row[f"{exercise}_handed_in_at"] = when
    # A column of the roster may bear a name of ours.
    joined = {f"{column} (roster)" if column in row else column: told.get(column, "") for column in further}
    return {"learner": learner} | joined | row


def term_data(term):
    """Return the term as plain data for JSON."""
    learners = {}
    for learner in term.learners:
        own = {e: term.entries[learner, e] for e in term.exercises if (learner, e) in term.entries}
        learners[learner] = {
            "roster": term.roster.get(learner, {}),
            "withdrawn": learner in term.rules.withdrawn,
            "total": term.total(learner),
            "marked": term.total(learner, marked_only=True),
            "exercises": {name: asdict(entry) | {"weight": term.weight(name)} for name, entry in own.items()},
        }
    return {"learners": learners, "notes": term.notes}
