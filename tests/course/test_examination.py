"""A closed examination: answers kept with the class, the public key refused, reasons that are alike."""

import json

import nbformat
import pytest

from tests.course.sample_class import SampleClass, rows_of
from tests.course.sample_workbook import EXERCISE, KEY, answers_notebook
from thermo_kit.course.alike import alike_texts
from thermo_kit.course.workbook import Workbook, find_workbook
from thermo_kit.errors import CourseError, FileAccessError

ALIKE = "More water has to pass the pump while the flow stays the same all the time."


@pytest.fixture
def own(tmp_path, workbook):
    folder = tmp_path / "closed"
    folder.mkdir()
    harder = answers_notebook(key=KEY.replace("tolerance=0.02", "tolerance=0.01"))
    nbformat.write(harder, folder / f"{EXERCISE}.ipynb")
    return folder


@pytest.fixture
def close(give, workbook, own, tmp_path):
    """Hand the examination out to its class."""
    book = find_workbook(workbook.root, answers=own)
    return lambda: give(folder=tmp_path / "exam", workbook=book, closed=True)


@pytest.fixture
def exam(close, workbook):
    return SampleClass(close().folder, workbook)


def test_the_answers_stay_with_the_class(exam, workbook, own):
    kept = exam.answers_notebook(EXERCISE, workbook)
    assert kept.is_relative_to(exam.instructor) and kept.stat().st_mode & 0o777 == 0o600
    case = exam.cases().case(EXERCISE, "A01")
    exam.hand_in("A01", a=f"{1.015 * case.numbers['volume'] / case.numbers['flow']} min")
    (own / f"{EXERCISE}.ipynb").unlink()
    # By the public key that would be right.
    assert exam.mark().marked[0].verdicts[0].verdict == "partly right"


def test_another_key_than_the_closed_one_is_refused(exam, workbook):
    exam.hand_in("A01", "A02")
    named = find_workbook(workbook.root, answers=workbook.answers)
    marking = exam.mark(workbook=named)
    assert not marking.marked and "differs from the closed answers of this class" in marking.not_marked[0].reason
    kept = exam.answers_notebook(EXERCISE, workbook)
    kept.write_text(kept.read_text() + " ")
    (reason, _) = (n.reason for n in exam.mark().not_marked)
    assert "is not the notebook that was kept: restore it" in reason
    exam.closed_file.unlink()
    assert not exam.mark().marked


def test_answers_may_be_corrected_by_the_instructor(exam, close, own):
    nbformat.write(answers_notebook(key=KEY.replace("points=2", "points=3")), own / f"{EXERCISE}.ipynb")
    assert len(close().kept) == 4
    exam.hand_in("A01")
    assert exam.mark().marked[0].points == 6


def test_the_public_key_closes_nothing(workbook, give, close, own, monkeypatch, tmp_path):
    monkeypatch.setattr(Workbook, "of_the_package", lambda: workbook)
    public = nbformat.read(workbook.answer(EXERCISE), 4)
    public.cells[0].source = "# Only the words changed"
    nbformat.write(public, own / f"{EXERCISE}.ipynb")
    with pytest.raises(CourseError, match="says the same as the public key of the workbook"):
        close()
    with pytest.raises(FileAccessError, match="--closed needs answers that are not public"):
        give(folder=tmp_path / "exam", closed=True)
    assert not (tmp_path / "exam").exists()


def test_reasons_that_are_alike_are_shown(exam, run):
    exam.hand_in("A01", d=ALIKE)
    exam.hand_in("A02", d=ALIKE.upper().replace(" ALL THE TIME", ""))
    exam.hand_in("A03", d="The tank is bigger, so the same pump runs for longer until it is full.")
    exam.hand_in("A04", d="no idea")
    (pair,) = exam.mark().alike
    assert (pair.learners, pair.question) == (("A01", "A02"), "d") and pair.share == 11 / 14
    told = "not a verdict\n  A01 and A02, 01_water_tank, d: 79 % of the word runs"
    assert told in run("mark", exam.folder)
    told = {row["learner"]: row["reasons_alike"] for row in rows_of(exam.instructor / f"marks_{EXERCISE}.csv")}
    assert told == {"A01": "d like A02 (79 %)", "A02": "d like A01 (79 %)", "A03": "", "A04": ""}
    assert json.loads(run("mark", exam.folder, "--json"))["alike"][0]["learners"] == ["A01", "A02"]


def test_short_texts_and_training_are_not_compared(room):
    assert alike_texts({"A01": "no idea", "A02": "no idea"}) == []
    assert alike_texts({"A01": "a b c d e f", "A02": "a b c d e f", "A03": "f e d c b a"}) == [(1.0, ("A01", "A02"))]
    room.hand_in("A01", "A02", d=ALIKE)
    assert room.mark().alike == ()
