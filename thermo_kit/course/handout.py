"""Notebooks with numbers of their own, for each learner of a class or for one who learns alone; never executed."""

import copy
import functools
import itertools
import secrets
from dataclasses import dataclass
from pathlib import Path

from thermo_kit.course.answers import check_pair, load_answers, try_part, usable_key
from thermo_kit.course.cases import (
    NOTEBOOK_LIMIT,
    TICKET_NAME,
    NoUsableNumbersError,
    draw_case,
    drawn_case,
    exercise_and_resit,
    parameters_cell,
    read_notebook,
    resit,
)
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.files import read_limited, remove_leftovers, write_atomically
from thermo_kit.course.mark_book import MarkBook
from thermo_kit.course.roster import read_roster
from thermo_kit.course.spread import WORTH_A_PROCESS, spread
from thermo_kit.course.tickets import issue_ticket
from thermo_kit.course.workbook import Workbook
from thermo_kit.errors import CourseError, FileAccessError, NotebookError, Problem, RosterError, UnknownNameError

METADATA = "thermo_kit"


@dataclass(frozen=True)
class HandedOut:
    """What a hand-out did: the exercise, notebooks written, and those left as they were.

    draws, usable: how often numbers were drawn, and how many of them could be worked
    not_whole: notebooks left as they were that do not carry their learner's ticket
    """

    exercise: str
    folder: Path
    written: tuple[str, ...]
    kept: tuple[str, ...]
    draws: int = 0
    usable: int = 0
    not_whole: tuple[str, ...] = ()


class _Drawing:
    """Draws cases that can be worked and that nobody has yet, and counts how many draws can be worked."""

    def __init__(self, exercise, parameters, secret, answers, taken):
        self.exercise, self.parameters, self.secret = exercise, parameters, secret
        self.answers, self.taken = answers, taken
        # What another has can be worked.
        self.known = dict.fromkeys(taken, True)
        self.draws = self.usable = 0

    def try_ahead(self, seeds, scheduler):
        """Try first draws of many at once, so that drawing them one after the other only has to look up."""
        taken, first, count = set(self.taken), 0, 1
        while seeds and first < 200:
            drawn = {
                seed: {case.fingerprint: case for case in self._draws(seed, range(first, first + count))}
                for seed in seeds
            }
            new = {text: case for cases in drawn.values() for text, case in cases.items() if text not in self.known}
            tried = spread(try_part, (self.answers.path, self.answers.source), new.values(), scheduler)
            self.known |= dict(zip(new, itertools.chain.from_iterable(tried), strict=True))
            for seed in seeds:
                if own := next((text for text in drawn[seed] if self.known[text] and text not in taken), None):
                    taken.add(own)
                    del drawn[seed]
            seeds, first, count = list(drawn), first + count, 2 * count

    def _draws(self, seed, attempts):
        return (drawn_case(self.exercise, self.parameters, self.secret, seed, attempt) for attempt in attempts)

    def case_of(self, seed):
        """A case of one's own; one that another has already where hardly any other can be worked."""
        shared = []

        def accept(case):
            self.draws, text = self.draws + 1, case.fingerprint
            if text not in self.known:
                self.known[text] = usable_key(self.answers, case) is not None
            if self.known[text]:
                self.usable += 1
                shared.append(case)
            return self.known[text] and text not in self.taken

        try:
            case = draw_case(self.exercise, self.parameters, secret=self.secret, learner=seed, accept=accept)
        except NoUsableNumbersError as error:
            if not shared:
                told = Problem("of all draws for this class", f"{self.usable:,} of {self.draws:,} could be worked")
                raise NoUsableNumbersError(*error.problems, told) from error
            case = shared[0]
        self.taken.add(case.fingerprint)
        return case


def hand_out(roster_path, *, exercise, folder, workbook, resits=(), closed=False, scheduler=""):
    """Make one notebook for each learner of a roster; running it again changes nothing that is there.

    resits: the learners who get a new case instead, each beside the old one
    closed: keep the answers notebook in the class, for an examination
    """
    roster = read_roster(roster_path)
    room = Classroom(folder)
    _refuse_inside(room.folder, workbook.root)
    path = workbook.exercise(exercise)
    answers_path = closed_key(path.stem, workbook) if closed else room.answers_notebook(path.stem, workbook)
    notebook, parameters, answers = _ready(path, answers_path)
    with room.one_hand_out():
        room.remove_leftovers()
        cases = room.cases()
        names = _resits(room, cases, path.stem, roster, resits) if resits else dict.fromkeys(roster, path.stem)
        _refuse_same_folder(names, cases)
        drawing = _Drawing(path.stem, parameters, room.secret_or_new(), answers, _taken(cases, path.stem))
        _draw(drawing, cases, names, scheduler)
        tickets = {one: issue_ticket(drawing.secret, one, cases.case(name, one)) for one, name in names.items()}
        missing = [one for one, name in names.items() if not room.notebook(one, name).exists()]
        _refuse_blocked(room, missing)
        if closed:
            room.keep_closed(path.stem, read_limited(answers_path, NOTEBOOK_LIMIT))
        # The list comes first: after a crash the next run draws nothing anew and writes what is missing.
        room.keep_secret(drawing.secret)
        room.keep_cases(cases)
        for learner in missing:
            target = room.notebook(learner, names[learner])
            remove_leftovers(target.parent, target.name)
            write_atomically(target, prepare(notebook, cases.case(names[learner], learner), tickets[learner]))
        room.remember_answers([path.stem], workbook)
        room.keep_roster({learner: roster[learner] for learner in names})
    new = set(missing)
    kept = tuple(one for one in names if one not in new)
    not_whole = tuple(one for one in kept if not _carries(room.notebook(one, names[one]), tickets[one]))
    return HandedOut(path.stem, room.folder, tuple(missing), kept, drawing.draws, drawing.usable, not_whole)


def closed_key(exercise, workbook):
    """The answers notebook for a closed examination, which the public one must not be."""
    if not workbook.answers_were_named:
        told, advice = "needs answers that are not public", "name your own folder of answers notebooks after --answers"
        raise FileAccessError.about("--closed", told, advice=advice)
    path, public = workbook.answer(exercise), Workbook.of_the_package().answers / f"{exercise}.ipynb"
    if public.is_file():
        own, theirs = load_answers(path), load_answers(public)
        case = own.default_case()
        if own.parameters == theirs.parameters and own.key(case).digest == theirs.key(case).digest:
            told, advice = "says the same as the public key of the workbook", "change the exercise and its answers"
            raise CourseError.about(str(path), told, advice=advice)
    return path


def _ready(path, answers_path):
    """Return notebook and parameters of an exercise that fits its answers, and the answers."""
    answers = load_answers(answers_path)
    parameters, notebook = check_pair(path, answers.path), read_notebook(path)
    check_ticket_line(notebook, path)
    return notebook, parameters, answers


def write_practice(exercise, *, folder, workbook, secret=None):
    """Write a self-study notebook with fresh numbers into a folder of its own; `secret` fixes the numbers."""
    path = workbook.exercise(exercise)
    notebook, parameters, answers = _ready(path, workbook.answer(path.stem))
    secret = secret or secrets.token_bytes(32)
    accept = functools.partial(usable_key, answers)
    case = draw_case(path.stem, parameters, secret=secret, learner="practice", accept=accept)
    number = 1
    # A folder for each round: its sheet is then never mixed up with an earlier one.
    while (round_folder := Path(folder).resolve() / f"{path.stem}_practice_{number}").exists():
        number += 1
    target = round_folder / path.name
    write_atomically(target, prepare(notebook, case))
    return target


def _resits(room, cases, exercise, roster, learners):
    """Each learner's name of the re-sit: the one that waits for its sheet, or the next one."""
    first, named = cases.exercises.get(exercise, {}), {}
    if unknown := [learner for learner in learners if learner not in first or learner not in roster]:
        told = f"{', '.join(unknown)} for a re-sit", "must be on the roster, and have had the exercise before"
        raise UnknownNameError.about(*told, advice="hand the exercise out to them, or correct the ids after --resit")
    with MarkBook(room.mark_book_file) as book:
        for learner in learners:
            newest = [name for name in cases.names_of(exercise) if learner in cases.exercises[name]][-1]
            number = exercise_and_resit(newest)[1]
            # A re-sit that was never marked is not over: a run that was killed goes on with its numbers.
            named[learner] = resit(exercise, number + 1) if not number or book.newest(learner, newest) else newest
    return named


def _taken(cases, exercise):
    return {cases.case(name, one).fingerprint for name in cases.names_of(exercise) for one in cases.exercises[name]}


def _draw(drawing, cases, names, scheduler):
    # A re-sit draws from a seed of its own.
    seeds = {one: f"{one} {name}" if exercise_and_resit(name)[1] else one for one, name in names.items()}
    for learner, name in names.items():
        if case := cases.case(name, learner):
            _check_still_fits(case, drawing.parameters, learner)
            del seeds[learner]
    if scheduler or len(seeds) >= WORTH_A_PROCESS:
        drawing.try_ahead(list(seeds.values()), scheduler)
    for learner, seed in seeds.items():
        cases.exercises.setdefault(names[learner], {})[learner] = drawing.case_of(seed).numbers


def _carries(path, ticket):
    try:
        return ticket.encode() in read_limited(path, NOTEBOOK_LIMIT)
    except FileAccessError:
        return False


def prepare(notebook, case, ticket=""):
    """A copy of an exercise with a case's numbers put in, its old results removed."""
    import nbformat
    from papermill.parameterize import parameterize_notebook

    new = copy.deepcopy(notebook)
    new.metadata.setdefault("papermill", {})
    new.metadata.setdefault("kernelspec", {"name": "python3", "display_name": "Python 3", "language": "python"})
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
            cell.metadata |= {"jupyter": {"source_hidden": True}, "deletable": False, "editable": False}
    return nbformat.writes(new) + "\n"


def check_ticket_line(notebook, path):
    """Refuse an exercise whose parameters cell has no place for the ticket."""
    source = parameters_cell(notebook, path).source
    if not any(line.split("=")[0].strip() == TICKET_NAME for line in source.splitlines()):
        advice = f'end it with {TICKET_NAME} = ""  # ticket; filled in when handed out'
        where = f"the parameters cell of {Path(path).name}"
        raise NotebookError.about(where, "has no line for the ticket", advice=advice)


def _check_still_fits(case, parameters, learner):
    if set(case.numbers) != {p.name for p in parameters}:
        told = "has other names than the exercise now has", "because the exercise changed after it was handed out"
        advice = "begin a new class folder for the changed exercise"
        raise NotebookError.about(f"the case of {learner} in {case.exercise}", *told, advice)


def _refuse_same_folder(learners, cases):
    known = {known.casefold(): known for of_exercise in cases.exercises.values() for known in of_exercise}
    twins = [(learner, known.get(learner.casefold(), learner)) for learner in learners]
    limit, told = "which some computers take for the same folder", "differs from {} of this class only in capitals"
    if problems := [
        Problem(f"the learner {learner}", told.format(twin), limit, f"write {twin}, or give another id")
        for learner, twin in twins
        if learner != twin
    ]:
        raise RosterError(*problems)


def _refuse_blocked(room, learners):
    wanted = [room.instructor, room.for_learners, *(room.for_learners / learner for learner in learners)]
    told = "is a file", "where a folder is needed", "move it away or name another folder"
    if blocked := [folder for folder in wanted if folder.exists() and not folder.is_dir()]:
        raise FileAccessError(*(Problem(str(folder), *told) for folder in blocked))


def _refuse_inside(folder, root):
    if folder.is_relative_to(root):
        told = "lies inside the workbook", "where the class secret and marks must not be", "name a folder elsewhere"
        raise NotebookError.about(f"the folder {folder}", *told)
