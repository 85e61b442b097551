import io
import json
import tomllib
from importlib import metadata
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.course.sample_workbook import EXERCISE
from thermo_kit import cli
from thermo_kit.course import doctor, workbook
from thermo_kit.course.record import Record
from thermo_kit.errors import FileAccessError
from thermo_kit.panels.server import OPTIONS

ROOT = Path(__file__).resolve().parents[2]


def test_handout_reports_and_repeats(roster, tmp_path, run):
    words = ["handout", roster("learner\nA01\n"), "--exercise", "01", "--to", tmp_path / "c"]
    out = run(*words)
    assert "1 notebooks written" in out and "Keep" in out
    assert "had theirs already" in run(*words)
    assert json.loads(run(*words, "--json"))["kept"] == ["A01"]


def test_wrong_use_is_told_in_plain_words(roster, tmp_path, run):
    handout = ["handout", "--exercise", "01", "--to", tmp_path / "c"]
    out = run(*handout, roster("learner\nA 1\nA 2\n"), code=1)
    assert len(out.splitlines()) == 2 and out.startswith("thermo-kit: class_a.csv, line 2")
    for words in (
        [*handout, tmp_path / "no.csv"],
        ["practice", "42", "--to", tmp_path],
        ["practice", "01", "--to", tmp_path, "--workbook", tmp_path / "none"],
        ["mark", tmp_path, "--answers", tmp_path / "none"],
    ):
        run(*words, code=2)
    with pytest.raises(SystemExit) as caught:
        cli.main(["handout"])
    assert caught.value.code == 2


def test_a_refused_file_is_a_problem_and_not_wrong_use(tmp_path, run, refuse):
    refuse("replace")
    out = run("practice", "1", "--to", tmp_path / "p", code=1)
    assert out.startswith("thermo-kit: ") and "cannot be written (Permission denied)" in out


def test_the_class_of_the_examples_lies_outside_the_workbook(workbook, roster, run, capsys, monkeypatch):
    monkeypatch.chdir(workbook.root)
    roster("learner\nA01\n", "workbook/class_a.csv")
    for command, words in (("handout", ["class_a.csv"]), ("mark", [])):
        example = example_of(command, capsys)
        assert example[: 1 + len(words)] == [command, *words]
        run(*(word.replace("02", "01") for word in example))


def example_of(command, capsys):
    with pytest.raises(SystemExit) as caught:
        cli.main([command, "--help"])
    assert caught.value.code == 0
    return " ".join(capsys.readouterr().out.split()).split("Example: thermo-kit ")[1].split()


@pytest.mark.parametrize("command", ["open", "practice", "doctor"])
def test_every_command_helps_with_an_example(command, capsys):
    assert example_of(command, capsys)[0] == command


def test_practice_says_what_is_due_and_hands_the_record_over(tmp_path, run, monkeypatch):
    out = run("practice", "--today")
    assert "0 due for review" in out and "Today: " in out
    Record().keep_answer(f"{EXERCISE}.a", right=True, mode="exercise")
    assert json.loads(run("practice", "--today", "--json"))["unseen"] > 0
    assert "1 entries written" in run("practice", "--export", tmp_path / "mine.csv")
    monkeypatch.setattr("sys.stdin", io.StringIO("no\n"))
    assert "Nothing was deleted" in run("practice", "--forget") and len(Record().answers()) == 1
    assert "Deleted: record.sqlite." in run("practice", "--forget", "--yes") and Record().answers() == ()
    assert "practice.ipynb is missing" in run("practice", code=1)


def test_open_becomes_jupyterlab_at_the_first_lesson(workbook, run, monkeypatch):
    started = []
    monkeypatch.setattr("os.execv", lambda program, words: started.append(words))
    monkeypatch.chdir(workbook.root)
    assert "00_start_here.ipynb is missing" in run("open", code=1) and not started
    (workbook.lessons / "00_start_here.ipynb").write_text("{}")
    run("open", "--no-browser", "--", "--port=8899", code=None)
    (words,) = started
    assert words[1:3] == ["-m", "jupyterlab"] and words[-2:] == ["--no-browser", "--port=8899"]
    assert "--ServerApp.default_url=/doc/tree/lessons/00_start_here.ipynb" in words and set(OPTIONS) < set(words)


def test_doctor_on_this_machine(run):
    assert [f for f in json.loads(run("doctor", "--json")) if not f["is_fine"]] == []
    assert "Everything is in place." in run("doctor")


def missing(_name):
    raise metadata.PackageNotFoundError


def nothing(*_):
    raise OSError("libsomething is missing")


KERNEL = "jupyter_client.kernelspec.KernelSpecManager.get_kernel_spec"


@pytest.mark.parametrize(
    ("place", "instead", "look", "told"),
    [
        (None, None, lambda: doctor.check_python((3, 10)), "Python 3.10"),
        (None, None, lambda: doctor.check_versions(["ipywidgets>=8.1"], missing), "ipywidgets is missing"),
        (None, None, lambda: doctor.check_versions(["pint>=9"], lambda _: "7.7"), "pint is 7.7, needed is >=9"),
        (KERNEL, nothing, doctor.check_kernel, "no kernel of that name"),
        (KERNEL, lambda *_: SimpleNamespace(argv=["/elsewhere/python"]), doctor.check_kernel, "another Python"),
        ("jupyter_core.paths.jupyter_path", lambda _: [], doctor.check_widgets, "widget extension is missing"),
        ("thermo_kit.substances.Refrigerant", nothing, doctor.check_property_engine, "(OSError: libsomething is miss"),
    ],
)
def test_doctor_says_what_is_missing_and_what_to_do(monkeypatch, place, instead, look, told):
    if place:
        monkeypatch.setattr(place, instead)
    finding = look()
    assert not finding.is_fine and told in finding.told and finding.advice
    lines = doctor.finding_lines([finding])
    assert lines[0].startswith("WRONG") and "what to do" in lines[1] and lines[-1] == "1 of 1 things need care."


def test_doctor_asks_for_what_the_workbook_needs_now_and_no_extras():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert doctor.check_versions().told.startswith(f"all {len(project['dependencies'])} ")
    finding = doctor.check_versions(["a>=1", 'b>=9; extra == "test"'], lambda _: "1.0")
    assert finding.is_fine and finding.told.startswith("all 1 ")


def test_doctor_sees_a_folder_that_cannot_be_written(workbook, monkeypatch, own_records, tmp_path):
    own_records.write_text("in the way")
    wrong = [f.what for f in doctor.check_folders(workbook.root) if not f.is_fine]
    assert wrong == ["your record", "your answer sheets"]
    own_records.unlink()
    monkeypatch.setattr("os.access", lambda *_: False)
    finding = doctor.check_folders(workbook.root)[1]
    assert "no permission" in finding.told and "THERMO_KIT_RECORDS" in finding.advice
    assert not doctor.check_folders(tmp_path / "nowhere")[0].is_fine
    closed = SimpleNamespace(exists=lambda: (_ for _ in ()).throw(PermissionError(13, "Permission denied")))
    assert "(Permission denied)" in doctor._check_write("your record", closed).told


OLD = '{"version": "3.1.1"}', "3.1.1, which does not fit"


@pytest.mark.parametrize(
    ("text", "told"), [("{", "is damaged"), ("[1]", "is damaged"), OLD, ('{"version": "5.0"}', "")]
)
def test_a_broken_or_old_widget_extension_is_told(tmp_path, monkeypatch, text, told):
    monkeypatch.setattr("jupyter_core.paths.jupyter_path", lambda _: [tmp_path])
    folder = tmp_path / "@jupyter-widgets" / "jupyterlab-manager"
    folder.mkdir(parents=True)
    (folder / "package.json").write_text(text)
    found = doctor.check_widgets()
    assert told in found.told and found.is_fine == (not told) and ("--force-reinstall" in found.advice) == bool(told)


@pytest.mark.parametrize(
    ("error", "told"),
    [(KeyboardInterrupt(), "Stopped."), (PermissionError(13, "no", "cases.json"), "thermo-kit: cases.json: no: check")],
)
def test_stopping_by_hand_or_by_the_system_is_no_traceback(monkeypatch, run, error, told):
    monkeypatch.setattr(cli, "run_doctor", lambda _: (_ for _ in ()).throw(error))
    assert told in run("doctor", code=1)


def test_a_missing_workbook_says_where_it_looked(tmp_path, monkeypatch):
    monkeypatch.setattr(workbook, "_is_workbook", lambda root: False)
    with pytest.raises(FileAccessError, match=r"workbook was not found.*--workbook"):
        workbook.find_workbook(start=tmp_path)
