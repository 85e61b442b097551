"""Fixtures of the course's tests: the tiny workbook on disk, a roster, a class, an own records folder."""

import functools
import os

import pytest

from tests.course.sample_class import LEARNERS, SampleClass
from tests.course.sample_workbook import write_workbook
from thermo_kit import cli
from thermo_kit.course.handout import hand_out


@pytest.fixture
def make_workbook(tmp_path):
    return functools.partial(write_workbook, tmp_path / "workbook")


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
def run(workbook, capsys):
    """Run a command on the tiny workbook, see that it ends with that code, and return all that it told."""

    def command(name, *words, code=cli.DONE):
        ended, told = cli.main([name, "--workbook", str(workbook.root), *map(str, words)]), capsys.readouterr()
        assert ended == code and "Traceback" not in told.err, told
        assert code != cli.WRONG_USE or (told.out == "" and told.err.startswith("thermo-kit: "))
        return told.out + told.err

    return command


@pytest.fixture
def roster(tmp_path):
    def write(text, name="class_a.csv", encoding="utf-8"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return path

    return write


@pytest.fixture
def give(roster, workbook, tmp_path):
    """Hand the tiny exercise out to the learners of a roster."""

    def hand(learners=LEARNERS, folder=tmp_path / "class_a", workbook=workbook, **options):
        text = learners if isinstance(learners, str | bytes) else "learner\n" + "\n".join(learners)
        return hand_out(roster(text), exercise="1", folder=folder, workbook=workbook, **options)

    return hand


@pytest.fixture
def room(give, workbook):
    return SampleClass(give().folder, workbook)
