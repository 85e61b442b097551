"""Parts over processes and over a real Dask scheduler: the same results, and what is wrong in plain words."""

import functools
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.course.sample_class import LEARNERS
from thermo_kit.course import handout, spread
from thermo_kit.course.classroom import Classroom
from thermo_kit.errors import CourseError, FileAccessError


@pytest.fixture(scope="module")
def cluster():
    """A scheduler that has no workers yet."""
    distributed = pytest.importorskip("distributed", reason="needs the extra [cluster]")
    with distributed.LocalCluster(n_workers=0, threads_per_worker=1, dashboard_address=None) as cluster:
        yield cluster


def test_two_workers_mark_and_draw_as_one_process_does(cluster, room, as_here, monkeypatch):
    room.hand_in(*LEARNERS)
    with pytest.raises(FileAccessError, match="the scheduler does not answer at nowhere"):
        room.mark(scheduler="nowhere")
    address = cluster.scheduler_address
    with pytest.raises(CourseError, match="the workers are missing: start each with `dask worker"):
        room.mark(scheduler=address)
    cluster.scale(2)
    cluster.wait_for_workers(2)
    there, here = room.mark(scheduler=address), room.mark(again=True)
    assert len(there.marked) == 4
    assert [m.verdicts for m in there.marked] == [m.verdicts for m in here.marked]
    as_here(scheduler=address)
    monkeypatch.setattr(spread, "CALCULATING", ())
    spread.program_digest.cache_clear()
    with pytest.raises(CourseError, match="the workers are of another version"):
        room.mark(again=True, scheduler=address)
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


def test_processes_mark_and_draw_the_same(room, as_here, monkeypatch):
    for module in (spread, handout):
        monkeypatch.setattr(module, "WORTH_A_PROCESS", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    room.hand_in(*LEARNERS, a="0 min")
    assert [m.points for m in room.mark().marked] == [3, 3, 3, 3]
    as_here()
