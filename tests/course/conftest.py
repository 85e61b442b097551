"""Fixtures of the course's tests: the tiny workbook on disk, a roster, a class, an own records folder."""

import nbformat
import pytest

from tests.course.sample_class import LEARNERS
from tests.course.sample_workbook import EXERCISE, answers_notebook, exercise_notebook
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
