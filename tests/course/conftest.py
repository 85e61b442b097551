"""Fixtures of the course's tests: the tiny workbook on disk, a roster, a class, an own records folder."""

import os

import nbformat
import pytest

from tests.course.sample_class import LEARNERS
from tests.course.sample_workbook import EXERCISE, answers_notebook, exercise_notebook
from thermo_kit import cli
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.handout import hand_out
from thermo_kit.course.workbook import find_workbook


@pytest.fixture
def make_workbook(tmp_path):
    def make(exercise=None, answers=None):
        root = tmp_path / "workbook"
        for name in ("lessons", "exercises", "answers"):
            (root / name).mkdir(parents=True, exist_ok=True)
        nbformat.write(exercise or exercise_notebook(), root / "exercises" / f"{EXERCISE}.ipynb")
        nbformat.write(answers or answers_notebook(), root / "answers" / f"{EXERCISE}.ipynb")
        return find_workbook(root)

    return make


@pytest.fixture
def workbook(make_workbook):
    return make_workbook()


@pytest.fixture(autouse=True)
def own_records(tmp_path, monkeypatch):
    folder = tmp_path / "records"
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(folder))
    monkeypatch.delenv("THERMO_KIT_WORKBOOK", raising=False)
    return folder


@pytest.fixture
def refuse(monkeypatch):
    """Let the system refuse: every call of a function of `os`, or those whose last word fits."""

    def make(name, fits=lambda _path: True):
        real = getattr(os, name)

        def refusing(*words, **named):
            if fits(str(words[-1])):
                raise PermissionError(13, "Permission denied", str(words[-1]))
            return real(*words, **named)

        monkeypatch.setattr(os, name, refusing)

    return make


@pytest.fixture
def mark(room, workbook, capsys):
    """Mark the class by its command, and return the exit code, what it told, and of what it complained."""

    def run(*words):
        code = cli.main(["mark", str(room.folder), "--workbook", str(workbook.root), *map(str, words)])
        return code, *capsys.readouterr()

    return run


@pytest.fixture
def roster(tmp_path):
    def write(text, name="class_a.csv", encoding="utf-8"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return path

    return write


@pytest.fixture
def room(roster, workbook, tmp_path):
    hand_out(roster("learner\n" + "\n".join(LEARNERS)), exercise="1", folder=tmp_path / "class_a", workbook=workbook)
    return Classroom(tmp_path / "class_a")
