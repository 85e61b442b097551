"""Notebooks with numbers of their own, for each learner of a class or for one who learns alone; never executed."""

import copy
import math
import secrets
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.answers import check_pair, load_answers, solvable
from thermo_kit.course.cases import TICKET_NAME, Case, draw_case, parameters_cell, read_notebook
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import write_atomically
from thermo_kit.course.roster import read_roster
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.errors import FileAccessError, NotebookError, Problem

METADATA = "thermo_kit"


@dataclass(frozen=True)
class HandedOut:
    """What a hand-out did: the exercise, notebooks written, and those left as they were."""

    exercise: str
    folder: Path
    written: tuple[str, ...]
    kept: tuple[str, ...]


def hand_out(roster_path, *, exercise, folder, workbook):
    """Make one notebook for each learner of a roster; running it again changes nothing that is there."""
    learners = read_roster(roster_path)
    path, notebook, parameters, accept = _ready(exercise, workbook)
    room = Classroom(folder)
    _refuse_inside(room.folder, workbook.root)
    with room.one_hand_out():
        written = _hand_out(room, learners, notebook, path.stem, parameters, accept)
    kept = tuple(learner for learner in learners if learner not in written)
    return HandedOut(path.stem, room.folder, written, kept)


def _ready(exercise, workbook):
    """Return path, notebook and parameters of an exercise that fits its answers, and the test for its cases."""
    path = workbook.exercise(exercise)
    answers = load_answers(workbook.answer(path.stem))
    parameters, notebook = check_pair(path, answers.path), read_notebook(path)
    check_ticket_line(notebook, path)
    return path, notebook, parameters, solvable(answers)


def write_practice(exercise, *, folder, workbook, secret=None):
    """Write a self-study notebook with fresh numbers into a folder of its own; `secret` fixes the numbers."""
    path, notebook, parameters, accept = _ready(exercise, workbook)
    secret = secret or secrets.token_bytes(32)
    case = draw_case(path.stem, parameters, secret=secret, learner="practice", accept=accept)
    number = 1
    # A folder for each round: its sheet is then never mixed up with an earlier one.
    while (round_folder := Path(folder).resolve() / f"{path.stem}_practice_{number}").exists():
        number += 1
    target = round_folder / path.name
    write_atomically(target, prepare(notebook, case))
    return target


def _hand_out(room, learners, notebook, exercise, parameters, is_solvable):
    cases = room.cases()
    secret = room.secret_or_new()
    drawn = cases.exercises.setdefault(exercise, {})
    taken = {Case(exercise, tuple(numbers.items())).fingerprint for numbers in drawn.values()}
    can_differ = math.prod(len(parameter.values) for parameter in parameters) >= 2 * len(learners)

    def accept(case):
        return not (can_differ and case.fingerprint in taken) and is_solvable(case)

    for learner in learners:
        if learner in drawn:
            _check_still_fits(cases.case(exercise, learner), parameters, learner)
            continue
        case = draw_case(exercise, parameters, secret=secret, learner=learner, accept=accept)
        taken.add(case.fingerprint)
        drawn[learner] = case.numbers
    prepared = {}
    for learner in learners:
        if not room.notebook(learner, exercise).exists():
            case = cases.case(exercise, learner)
            prepared[learner] = prepare(notebook, case, issue_ticket(secret, learner, case))
    _refuse_blocked(room, prepared)
    # The list comes first: after a crash the next run draws nothing anew and writes what is missing.
    room.keep_secret(secret)
    room.keep_cases(cases)
    for learner, text in prepared.items():
        write_atomically(room.notebook(learner, exercise), text)
    return tuple(prepared)


def prepare(notebook, case, ticket=""):
    """A copy of an exercise with a case's numbers put in, its old results removed."""
    import nbformat
    from papermill.parameterize import parameterize_notebook

    new = copy.deepcopy(notebook)
    new.metadata.setdefault("papermill", {})
    for cell in new.cells:
        cell.metadata.setdefault("tags", [])
    new = parameterize_notebook(new, {**case.numbers, TICKET_NAME: ticket}, comment="The numbers of this case")
    # papermill notes all parameters and paths in the metadata; a learner's file carries only the ticket.
    del new.metadata["papermill"]
    new.metadata.pop("widgets", None)
    if ticket:
        new.metadata[METADATA] = {"page": "exercises", "ticket": ticket, "exercise": case.exercise}
    for number, cell in enumerate(new.cells):
        if not cell.metadata["tags"]:
            del cell.metadata["tags"]
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
        if "injected-parameters" in cell.metadata.get("tags", ()):
            cell.id = f"case-{number}"
            cell.metadata["jupyter"] = {"source_hidden": True}
    return nbformat.writes(new) + "\n"


def check_ticket_line(notebook, path):
    """Refuse an exercise whose parameters cell has no place for the ticket."""
    source = parameters_cell(notebook, path).source
    if not any(line.split("=")[0].strip() == TICKET_NAME for line in source.splitlines()):
        raise NotebookError.about(
            f"the parameters cell of {Path(path).name}",
            "has no line for the ticket",
            advice=f'end it with {TICKET_NAME} = ""  # ticket; filled in when handed out',
        )


def _check_still_fits(case, parameters, learner):
    if set(case.numbers) != {p.name for p in parameters}:
        raise NotebookError.about(
            f"the case of {learner} in {case.exercise}",
            "has other names than the exercise now has",
            "because the exercise changed after it was handed out",
            "begin a new class folder for the changed exercise",
        )


def _refuse_blocked(room, learners):
    wanted = [room.instructor, room.for_learners, *(room.for_learners / learner for learner in learners)]
    blocked = [folder for folder in wanted if folder.exists() and not folder.is_dir()]
    if blocked:
        raise FileAccessError(
            *(
                Problem(str(path), "is a file", "where a folder is needed", "move it away or name another folder")
                for path in blocked
            )
        )


def _refuse_inside(folder, root):
    if folder == root or root in folder.parents:
        raise NotebookError.about(
            f"the folder {folder}",
            "lies inside the workbook",
            "where the class secret and marks must not be",
            "name a folder elsewhere",
        )
