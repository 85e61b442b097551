"""How long the due list and the overview take with 300,000 answers, beside reading the same rows bare from SQLite."""

import random
import sqlite3
import time
from datetime import timedelta

from tests.practice.many_answers import keep_many
from thermo_kit.course.record import Record
from thermo_kit.practice.bank import load
from thermo_kit.practice.progress import ProgressPanel
from thermo_kit.practice.schedule import known, plan

ANSWERS = 300_000
# Measured: about 0.01 of the bare reading (0.36 s) each time, and 1.4 once, when nothing was counted yet. The second
# that is allowed is 2.8 of it.
MOST, MOST_ONCE = 1.0, 2.5


def seconds_of(task):
    begin = time.perf_counter()
    task()
    return time.perf_counter() - begin


def read_bare(path):
    with sqlite3.connect(path) as file:
        return file.execute("SELECT * FROM answers").fetchall()


def test_due_list_and_overview(tmp_path, record_property, monkeypatch):
    monkeypatch.setenv("THERMO_KIT_RECORDS", str(tmp_path))
    record, bank, luck = Record(), load(), random.Random(0)
    names, days = list(bank), timedelta(days=1_000)
    times = (record.now() - days + number * days / ANSWERS for number in range(ANSWERS))
    keep_many(record, [(luck.choice(names), luck.random() < 0.8, at) for at in times])
    read_bare(record.path)
    once = seconds_of(lambda: known(record)) / seconds_of(lambda: read_bare(record.path))
    tasks = {"due list": lambda: plan(record, bank, known(record)), "overview": lambda: ProgressPanel(record)}
    told = {}
    for what, task in tasks.items():
        task()
        bare = seconds_of(lambda: read_bare(record.path))
        took = min(seconds_of(task) for _ in range(3))
        told[f"{what} {1e3 * took:.0f} ms, {took / bare:.3f} of the bare reading"] = took / bare
    record_property("ratio", f"{ANSWERS:,} answers: {', '.join(told)}; counted from nothing {once:.1f} of it")
    assert max(told.values()) < MOST
    assert once < MOST_ONCE
