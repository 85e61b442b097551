"""Notebooks with numbers of their own, for each learner of a class or for one who learns alone; never executed."""

import copy
import secrets
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.answers import check_pair, load_answers, solvable
from thermo_kit.course.cases import TICKET_NAME, Case, NoUsableNumbersError, draw_case, parameters_cell, read_notebook
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import remove_leftovers, write_atomically
from thermo_kit.course.roster import read_roster
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.errors import FileAccessError, NotebookError, Problem, RosterError

METADATA = "thermo_kit"


@dataclass(frozen=True)
class HandedOut:
    """What a hand-out did: the exercise, notebooks written, and those left as they were.

    draws, usable: how often numbers were drawn, and how many of them could be worked
    """

    exercise: str
    folder: Path
    written: tuple[str, ...]
    kept: tuple[str, ...]
    draws: int = 0
    usable: int = 0


class _Drawing:
    """Draws cases that can be worked and that nobody has yet, and counts how many draws can be worked."""

    def __init__(self, exercise, parameters, secret, is_solvable, taken):
        self.exercise, self.parameters, self.secret = exercise, parameters, secret
        self.is_solvable, self.taken, self.unusable = is_solvable, taken, set()
        self.draws = self.usable = 0

    def case_of(self, learner):
        """A learner's own case; one that another has already where hardly any other can be worked."""
        shared = []

        def accept(case):
            self.draws += 1
            is_taken = case.fingerprint in self.taken
            if not is_taken and (case.fingerprint in self.unusable or not self.is_solvable(case)):
                self.unusable.add(case.fingerprint)
                return False
            self.usable += 1
            shared.append(case)
            return not is_taken

        try:
            case = draw_case(self.exercise, self.parameters, secret=self.secret, learner=learner, accept=accept)
        except NoUsableNumbersError as error:
            if not shared:
                told = Problem("of all draws for this class", f"{self.usable:,} of {self.draws:,} could be worked")
                raise NoUsableNumbersError(*error.problems, told) from error
            case = shared[0]
        self.taken.add(case.fingerprint)
        return case


def hand_out(roster_path, *, exercise, folder, workbook):
    """Make one notebook for each learner of a roster; running it again changes nothing that is there."""
    learners = read_roster(roster_path)
    room = Classroom(folder)
    _refuse_inside(room.folder, workbook.root)
    path = workbook.exercise(exercise)
    notebook, parameters, accept = _ready(path, room.answers_notebook(path.stem, workbook))
    with room.one_hand_out():
        written, drawing = _hand_out(room, learners, notebook, path.stem, parameters, accept)
        room.remember_answers([path.stem], workbook)
    kept = tuple(learner for learner in learners if learner not in written)
    return HandedOut(path.stem, room.folder, written, kept, drawing.draws, drawing.usable)


def _ready(path, answers_path):
    """Return notebook and parameters of an exercise that fits its answers, and the test for its cases."""
    answers = load_answers(answers_path)
    parameters, notebook = check_pair(path, answers.path), read_notebook(path)
    check_ticket_line(notebook, path)
    return notebook, parameters, solvable(answers)


def write_practice(exercise, *, folder, workbook, secret=None):
    """Write a self-study notebook with fresh numbers into a folder of its own; `secret` fixes the numbers."""
    path = workbook.exercise(exercise)
    notebook, parameters, accept = _ready(path, workbook.answer(path.stem))
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
    _refuse_same_folder(learners, cases)
    secret = room.secret_or_new()
    drawn = cases.exercises.setdefault(exercise, {})
    taken = {Case(exercise, tuple(numbers.items())).fingerprint for numbers in drawn.values()}
    drawing = _Drawing(exercise, parameters, secret, is_solvable, taken)
    for learner in learners:
        if learner in drawn:
            _check_still_fits(cases.case(exercise, learner), parameters, learner)
            continue
        drawn[learner] = drawing.case_of(learner).numbers
    prepared = {}
    for learner in learners:
        if not room.notebook(learner, exercise).exists():
            case = cases.case(exercise, learner)
            prepared[learner] = prepare(notebook, case, issue_ticket(secret, learner, case))
    _refuse_blocked(room, prepared)
    # The list comes first: after a crash the next run draws nothing anew and writes what is missing.
    room.keep_secret(secret)
    room.keep_cases(cases)
    remove_leftovers(room.instructor, room.cases_file.name)
    for learner, text in prepared.items():
        path = room.notebook(learner, exercise)
        remove_leftovers(path.parent, path.name)
        write_atomically(path, text)
    return tuple(prepared), drawing


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


def _refuse_same_folder(learners, cases):
    known = {known.casefold(): known for of_exercise in cases.exercises.values() for known in of_exercise}
    twins = [(learner, known.get(learner.casefold(), learner)) for learner in learners]
    problems = [
        Problem(
            f"the learner {learner}",
            f"differs from {twin} of this class only in capitals",
            "which some computers take for the same folder",
            f"write {twin}, or give another id",
        )
        for learner, twin in twins
        if learner != twin
    ]
    if problems:
        raise RosterError(*problems)


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
