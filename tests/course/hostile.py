"""Hostile hand-ins and kills, seeded: fuzzed sheets, archives that mean harm, programs ended at any moment.

    python -m tests.course.hostile --sheets 10000 --archives 100 --kills 200

Every round ends in the same questions: was anything executed or unpacked, was anything ignored, was another hurt?
"""

import argparse
import contextlib
import io
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import warnings
import zipfile
from collections import Counter
from pathlib import Path

import nbformat

from tests.course.sample_class import SampleClass
from tests.course.sample_workbook import EXERCISE, write_workbook
from thermo_kit import cli
from thermo_kit.course.answers import load_answers
from thermo_kit.course.handout import hand_out

SHEET = f"{EXERCISE}.sheet.json"
HONEST = "Z99"
VALUES = (
    None, True, 0, -1, 10**400, 1.5, float("nan"), float("inf"), "", "=1+1", "x" * 6_000, "\ud800", "\x00", "\u202e",
    [], {}, [[]], ["a"] * 60, {"a": {}}, "../../trap", "${jndi:x}", "<script>x</script>", "__import__('os').abort()",
)  # fmt: skip


def make_class(folder, learners):
    """A workbook of one tiny exercise, and a class that was handed it."""
    roster = folder / "roster.csv"
    roster.write_text("learner\n" + "\n".join(learners))
    book = write_workbook(folder / "workbook")
    hand_out(roster, exercise="1", folder=folder / "class_a", workbook=book)
    return SampleClass(folder / "class_a", book), book, roster


def fuzzed(raw, other, rng):
    """One sheet spoilt in one of many ways: its bytes, its values, its shape."""
    data = json.loads(raw)
    kind = rng.randrange(9)
    if kind == 0:
        spoilt = bytearray(raw)
        for _ in range(rng.randint(1, 20)):
            spoilt[rng.randrange(len(spoilt))] = rng.randrange(256)
        return bytes(spoilt)
    if kind == 1:
        return raw[: rng.randrange(len(raw))]
    if kind == 2:
        at = rng.randrange(len(raw))
        return raw[:at] + rng.randbytes(rng.randint(1, 50)) + raw[at:]
    if kind == 3:
        return rng.choice((b"", b"[" * 50_000, b"\xff\xfe" + raw, raw * 300, raw + raw, b"null", b"\xef\xbb\xbf" + raw))
    if kind == 4:
        return other
    inside = rng.choice((data, data["numbers"], data["answers"]))
    name = rng.choice(list(inside))
    if kind == 5:
        del inside[name]
    elif kind == 6:
        inside[rng.choice(("x", "points", "é", "a" * 200, "__class__"))] = rng.choice(VALUES)
    else:
        inside[name] = rng.choice(VALUES)
    return json.dumps(data).encode("utf-8", "surrogatepass")


def archive(kind, sheet, rng):
    """The bytes of an archive that holds a learner's sheet and means harm, or is broken."""
    content = packed(ARCHIVES[kind][0](sheet))
    if kind == "locked":
        # The flag of a password: byte 6 of the local head, byte 8 of the entry in the list.
        spoilt, listed = bytearray(content), content.index(b"PK\x01\x02")
        for at in (6, listed + 8):
            spoilt[at] |= 1
        return bytes(spoilt)
    if kind == "flipped":
        spoilt = bytearray(content)
        for _ in range(rng.randint(1, 30)):
            spoilt[rng.randrange(len(spoilt))] ^= 1 << rng.randrange(8)
        return bytes(spoilt)
    return content[: rng.randrange(len(content))] if kind == "cut off" else content


def packed(entries):
    """The bytes of an archive of entries, each a name or its facts, and what it holds."""
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        warnings.simplefilter("ignore")  # of two files of one name
        for name, content in entries:
            file.writestr(name, content)
    return out.getvalue()


def entry(**facts):
    """The facts of a sheet in an archive."""
    made = zipfile.ZipInfo(SHEET)
    for name, value in facts.items():
        setattr(made, name, value)
    return made


def _named(*names):
    return lambda sheet: [(name, sheet) for name in names]


LEADS_OUT, TWICE, EMPTY = "leads out of its folder", "holds two files of one name", "in which there is no sheet"
ODD, NO_SHEET = "is packed in a way that is not read here", "is no answer sheet"
# What each holds, and what is told of it; nothing where it may be marked.
ARCHIVES = {
    "honest": (_named(SHEET), ""),
    "honest, deep": (_named(f"back/again/{SHEET}"), ""),
    "honest, from here": (_named(f"./back//{SHEET}"), ""),
    "out of its folder": (_named(f"../../{SHEET}"), LEADS_OUT),
    "from the root": (_named(f"/tmp/{SHEET}"), LEADS_OUT),
    "a drive": (_named(f"C:/{SHEET}"), LEADS_OUT),
    "backslashes": (_named(f"..\\..\\{SHEET}"), LEADS_OUT),
    "two of one name": (_named(SHEET, SHEET), TWICE),
    "two ways to one name": (_named(SHEET, f"./{SHEET}"), TWICE),
    "into another's folder": (_named(f"{HONEST}/{SHEET}"), f"but lies in the folder of {HONEST}"),
    "a link": (lambda _sheet: [(entry(external_attr=0o120777 << 16), "/etc/passwd")], "holds a link"),
    "a bomb": (lambda _sheet: [(SHEET, b"0" * 30_000_000)], "is larger than 200 kB"),
    "many bombs": (lambda _sheet: [(f"{n}.sheet.json", b"0" * 10_000_000) for n in range(11)], "more than 100 MB"),
    "one in another": (lambda sheet: [("a.zip", packed([(SHEET, sheet)]))], "is an archive inside another: unpack it"),
    "packed oddly": (lambda sheet: [(entry(compress_type=zipfile.ZIP_LZMA), sheet)], ODD),
    "packed oddly, too": (lambda sheet: [(entry(compress_type=zipfile.ZIP_BZIP2), sheet)], ODD),
    "too many files": (lambda _sheet: [(f"{n}.txt", b"") for n in range(1_001)], "holds 1,001 files, where at most"),
    "too many sheets": (
        lambda _sheet: [(f"{n}.sheet.json", b"") for n in range(500)],
        "holds 500 sheets where at most",
    ),
    "nothing inside": (_named(), EMPTY),
    "a folder only": (_named("folder/"), EMPTY),
    "hidden files only": (_named(f".hidden/{SHEET}", f"__MACOSX/{SHEET}"), EMPTY),
    "wrong names": (_named("answers.json", "work.txt"), "has not the name of a sheet"),
    "a program": (_named("01_water_tank.py", "run.sh", "__init__.py"), NO_SHEET),
    "locked": (_named(SHEET), "is locked with a password"),
    "flipped": (_named(SHEET), ""),
    "cut off": (_named(SHEET), ""),
}
HARMLESS = ("honest", "honest, deep", "honest, from here")


def files_of(room):
    """All that lies in the learners' part of a class, with its bytes."""
    return {path: path.read_bytes() for path in room.for_learners.rglob("*") if path.is_file()}


def check(room, book, laid):
    """Mark a class in which things were laid, and return what came of each; any harm is an error.

    laid: learner → file, and what is to be told of it where it is not marked
    """
    before = files_of(room)
    marking = room.mark()
    assert files_of(room) == before, "something was written or unpacked"
    assert not (room.folder.parent / "trap").exists(), "something was executed"
    marked = {m.learner: m for m in marking.marked}
    assert marked[HONEST].points == 5, "another learner was hurt"
    named = [(n.path, n.reason) for n in (*marking.not_marked, *marking.not_recognised)]
    outcomes = Counter()
    for learner, (path, told) in laid.items():
        if mark := marked.get(learner):
            assert not told, f"{path} was marked, though it {told}"
            case = room.cases().case(EXERCISE, learner)
            assert mark.case.fingerprint == case.fingerprint, "other numbers were marked"
            key = load_answers(book.answer(EXERCISE)).key(case)
            assert [v.points for v in mark.verdicts] == [v.points for v in key.judge(mark.answers)]
            outcomes["marked"] += 1
        else:
            reasons = [why for one, why in named if one == path or path in one.parents or one in path.parents]
            assert any(told in why for why in reasons), f"{path} was passed over silently, or not for that: {reasons}"
            outcomes["refused or named"] += 1
    return outcomes


def fuzz_sheets(folder, count, seed=0, at_once=200):
    """Hand in fuzzed sheets, one a learner, round after round."""
    rng, outcomes = random.Random(seed), Counter()
    learners = [f"A{number:03d}" for number in range(min(at_once, count))]
    room, book, _ = make_class(folder, [*learners, HONEST])
    good = {learner: room.hand_in(learner).read_bytes() for learner in (*learners, HONEST)}
    while outcomes.total() < count:
        laid = {}
        for learner in learners[: count - outcomes.total()]:
            path = room.for_learners / learner / rng.choice((SHEET, SHEET, f"{EXERCISE} (1).sheet.json.txt"))
            path.write_bytes(fuzzed(good[learner], good[HONEST], rng))
            laid[learner] = path, ""
            if path.name != SHEET:
                (path.parent / SHEET).unlink(missing_ok=True)
        # What the mark book holds of earlier rounds must not count as this one's.
        room.mark_book_file.unlink(missing_ok=True)
        outcomes += check(room, book, laid)
        for path, _ in laid.values():
            path.unlink()
    return outcomes


def lay_archives(folder, count, seed=0):
    """Hand in archives, one a learner, every kind in turn."""
    rng = random.Random(seed)
    kinds = [list(ARCHIVES)[number % len(ARCHIVES)] for number in range(count)]
    learners = {f"A{number:03d}": kind for number, kind in enumerate(kinds)}
    room, book, _ = make_class(folder, [*learners, HONEST])
    room.hand_in(HONEST)
    laid = {}
    for learner, kind in learners.items():
        sheet = room.hand_in(learner)
        path = sheet.with_name("hand_in.zip")
        path.write_bytes(archive(kind, sheet.read_bytes(), rng))
        laid[learner] = path, ARCHIVES[kind][1]
        sheet.unlink()
    outcomes = check(room, book, laid)
    # Bytes may be changed where they do not matter, so that such an archive may count as well.
    assert outcomes["marked"] >= sum(kind in HARMLESS for kind in kinds), outcomes
    return outcomes


def kill(folder, count, seed=0, learners=60):
    """End hand-outs and marks at random moments by the command line; what they leave must be whole."""
    rng = random.Random(seed)
    names = [f"A{number:03d}" for number in range(learners)]
    room, book, roster = make_class(folder, [HONEST])
    roster.write_text("learner\n" + "\n".join([*names, HONEST]))
    promised, outcomes = {}, Counter()
    handout = ["handout", roster, "--exercise", "1", "--to", room.folder]
    while outcomes.total() < count:
        words = handout if rng.random() < 0.5 else ["mark", room.folder]
        outcomes[_killed(words, book, rng.uniform(0.2, 2.5))] += 1
        cases = room.cases().exercises[EXERCISE]
        assert promised.items() <= cases.items(), "numbers that were promised changed"
        promised = dict(cases)
        for path in room.for_learners.rglob(f"{EXERCISE}.ipynb"):
            nbformat.read(path, 4)
            if not path.with_name(SHEET).exists():
                room.hand_in(path.parent.name)
        if room.mark_book_file.exists():
            with sqlite3.connect(room.mark_book_file) as file:
                assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    for path in room.folder.rglob(".*.part"):
        os.utime(path, (0, 0))
    for words in (handout, ["mark", room.folder]):
        with contextlib.redirect_stdout(io.StringIO()):
            assert cli.main([str(word) for word in (*words, "--workbook", book.root)]) == 0
        for path in room.for_learners.rglob(f"{EXERCISE}.ipynb"):
            if not path.with_name(SHEET).exists():
                room.hand_in(path.parent.name)
    marking = room.mark()
    assert [m.points for m in marking.marked] == [5] * (learners + 1), "a mark was lost"
    assert {m.learner for m in marking.marked} == set(room.cases().exercises[EXERCISE])
    assert not list(room.folder.rglob(".*.part")), "something half-written stayed"
    return outcomes


def _killed(words, book, after):
    command = [sys.executable, "-m", "thermo_kit.cli", *map(str, words), "--workbook", str(book.root)]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(after)
    if process.poll() is None:
        process.send_signal(signal.SIGKILL)
    return f"{words[0]} {'killed' if process.wait() == -signal.SIGKILL else 'had ended'}"


def main():
    """Do each as often as it says, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    runs = {"sheets": fuzz_sheets, "archives": lay_archives, "kills": kill}
    for name in (*runs, "seed"):
        parser.add_argument(f"--{name}", type=int, default=0)
    chosen = parser.parse_args()
    for name, run in runs.items():
        if count := getattr(chosen, name):
            with tempfile.TemporaryDirectory() as folder:
                started = time.perf_counter()
                outcomes = run(Path(folder), count, chosen.seed)
                print(f"{name}: {dict(outcomes)}, {time.perf_counter() - started:.0f} s", flush=True)


if __name__ == "__main__":
    main()
