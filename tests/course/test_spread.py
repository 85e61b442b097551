"""Parts over processes and over a real Dask scheduler: the same results, and what is wrong in plain words."""

import functools
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.course.sample_class import LEARNERS, hand_in
from thermo_kit.course import handout, spread
from thermo_kit.course.classroom import Classroom
from thermo_kit.course.marking import mark_class
from thermo_kit.errors import CourseError, FileAccessError


@pytest.fixture(scope="module")
def start():
    """Start a server by its command line, and return its address once it tells it."""
    running = []

    def server(*words, told):
        words = [sys.executable, "-m", *words]
        process = subprocess.Popen(words, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
        running.append(process)
        for line in process.stderr:
            if found := re.search(told, line):
                return found[1]
        raise AssertionError(f"{words} ended without a word")

    yield server
    for process in reversed(running):
        process.kill()
        process.wait()
        process.stderr.close()


@pytest.fixture(scope="module")
def scheduler(start):
    pytest.importorskip("distributed", reason="needs the extra [cluster]")
    words = ("--host", "127.0.0.1", "--port", "0", "--no-dashboard")
    return start("distributed.cli.dask_scheduler", *words, told=r"Scheduler at:\s+(tcp://\S+)")


def test_a_scheduler_without_workers_or_without_an_answer(scheduler, room, workbook):
    hand_in(room, workbook, "A01")
    with pytest.raises(CourseError, match="the workers are missing: start each with `dask worker"):
        mark_class(room.folder, workbook=workbook, scheduler=scheduler)
    with pytest.raises(FileAccessError, match="the scheduler does not answer at nowhere"):
        mark_class(room.folder, workbook=workbook, scheduler="nowhere")


def test_two_workers_mark_and_draw_as_one_process_does(
    scheduler, start, room, workbook, as_here, tmp_path, monkeypatch
):
    for _ in range(2):
        words = ("--nthreads", "1", "--no-dashboard", "--local-directory", tmp_path)
        start("distributed.cli.dask_worker", scheduler, *map(str, words), told=r"Registered to:\s+(\S+)")
    for learner in LEARNERS:
        hand_in(room, workbook, learner)
    there = mark_class(room.folder, workbook=workbook, scheduler=scheduler)
    here = mark_class(room.folder, workbook=workbook, again=True)
    assert len(there.marked) == 4
    assert [m.verdicts for m in there.marked] == [m.verdicts for m in here.marked]
    as_here(scheduler=scheduler)
    monkeypatch.setattr(spread, "CALCULATING", ())
    spread.program_digest.cache_clear()
    with pytest.raises(CourseError, match="the workers are of another version"):
        mark_class(room.folder, workbook=workbook, again=True, scheduler=scheduler)
    spread.program_digest.cache_clear()


def test_things_are_taken_a_little_in_advance_only(monkeypatch):
    monkeypatch.setattr(spread, "_helpers", functools.cache(ThreadPoolExecutor))
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    taken = []
    parts = spread.spread(list, (), (taken.append(number) or number for number in range(10_000)))
    assert next(parts) == list(range(50)) and len(taken) <= 700
    assert [number for part in parts for number in part] == list(range(50, 10_000))


@pytest.fixture
def as_here(room, give, tmp_path, monkeypatch):
    """Hand out to a class of the same secret, the draws tried elsewhere, and compare with the draws tried here."""

    def compare(**options):
        other = Classroom(tmp_path / "other")
        other.instructor.mkdir(parents=True)
        other.secret_file.write_bytes(room.secret_file.read_bytes())
        monkeypatch.setattr(handout, "usable_key", lambda _answers, _case: pytest.fail("was not tried ahead"))
        give(folder=other.folder, **options)
        assert other.cases() == room.cases()

    return compare


def test_processes_mark_and_draw_the_same(room, workbook, as_here, monkeypatch):
    for module in (spread, handout):
        monkeypatch.setattr(module, "WORTH_A_PROCESS", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    for learner in LEARNERS:
        hand_in(room, workbook, learner, a="0 min")
    assert [m.points for m in mark_class(room.folder, workbook=workbook).marked] == [3, 3, 3, 3]
    as_here()
