"""A fresh case of an exercise for someone who learns alone."""

import secrets
from pathlib import Path

from thermo_kit.course.answers import check_pair, load_answers, solvable
from thermo_kit.course.cases import draw_case, read_notebook
from thermo_kit.course.files import write_atomically
from thermo_kit.course.handout import check_ticket_line, prepare


def write_practice(exercise, *, folder, workbook, secret=None):
    """Write a self-study notebook with fresh numbers into a folder of its own.

    Parameters
    ----------
    exercise : str
        number or full name
    folder : Path
        where practice notebooks are collected
    workbook : Workbook
        where exercises and answers are
    secret : bytes, optional
        fixes the numbers, for tests; random by default

    Returns
    -------
    Path
        the new notebook

    Raises
    ------
    CourseError
        when exercise, answers or folder are not in order
    """
    path = workbook.exercise(exercise)
    answers = load_answers(workbook.answer(path.stem))
    parameters = check_pair(path, answers.path)
    notebook = read_notebook(path)
    check_ticket_line(notebook, path)
    case = draw_case(
        path.stem,
        parameters,
        secret=secret or secrets.token_bytes(32),
        learner="practice",
        accept=solvable(answers),
    )
    folder = Path(folder).resolve()
    number = 1
    # A folder for each round: its sheet is then never mixed up with an earlier one.
    while (round_folder := folder / f"{path.stem}_practice_{number}").exists():
        number += 1
    target = round_folder / path.name
    write_atomically(target, prepare(notebook, case))
    return target
