import csv
import io
import itertools
import json
import sys

import pytest

from tests.course.sample_class import rows_of
from tests.course.sample_workbook import EXERCISE, KEY, answers_notebook
from thermo_kit import cli
from thermo_kit.course.report import FORMULA_STARTS, SEPARATORS, as_data, report_lines, safe_cell, write_csv_files


def written_rows(room):
    (path,), problems = write_csv_files(room.mark(), room.instructor)
    assert problems == []
    return {row["learner"]: row for row in rows_of(path)}


def test_csv_is_safe_in_a_spreadsheet_and_whole(room):
    room.hand_in("A01", a="=1+1", d='@x, "y"\n\x1b[31m')
    row = written_rows(room)["A01"]
    assert row["a_answer"] == "'=1+1" and row["d_answer"] == '\'@x, "y"  [31m'
    assert row["c_answer"] == "check the hose > open the valve > start the pump"
    assert (row["learner"], row["b_verdict"], row["still_to_read_by_hand"]) == ("A01", "right", "1")
    for start in ("+", "-", " =", "|", "%", "＝", "＋", "－", "＠"):
        assert safe_cell(start + "x").startswith("'")


def test_no_cell_is_a_formula_whatever_the_separator(room):
    room.hand_in("A01", a="x;=1+1;y", b='";=1+1', d='x\t=1+1\t"\n@y;-1', c=["+1", ";=1", "＝1+1"])
    marking = room.mark()
    for named, separator in itertools.product(SEPARATORS, (",", ";", "\t")):
        (path,), _ = write_csv_files(marking, room.instructor, named)
        lines = path.read_text(encoding="utf-8-sig").splitlines()
        cells = [cell for row in csv.reader(lines, delimiter=separator) for cell in row]
        assert any("=1+1" in cell for cell in cells)
        assert [cell for cell in cells if cell.lstrip().startswith(FORMULA_STARTS)] == []


def test_a_spreadsheet_with_semicolons_gets_columns_and_decimal_commas(room, run):
    swapped = ["open the valve", "check the hose", "start the pump"]
    room.hand_in("A01", a="=1, 5", c=swapped, d="no idea")
    run("mark", room.folder, "--separator", "semicolon")
    row = rows_of(room.instructor / f"marks_{EXERCISE}.csv", ";")[0]
    assert (row["learner"], row["c_points"], row["points"], row["a_answer"]) == ("A01", "0,5", "1,5", "'=1, 5")


def test_everyone_on_the_class_list_has_a_row(room):
    assert {row["state"] for row in written_rows(room).values()} == {"no sheet yet"}
    room.hand_in("A01")
    gone, spoilt = room.hand_in("A02", b="twice the flow"), room.hand_in("A03")
    room.mark()
    gone.unlink()
    for path in (spoilt, room.hand_in("A04")):
        path.write_text("{")
    rows = written_rows(room)
    assert [row["state"] for row in rows.values()] == ["marked", "marked earlier", "marked earlier", "not marked"]
    told = [rows["A02"][name] for name in ("points", "b_verdict", "b_answer", "reason")]
    assert told == ["4.0", "wrong", "twice the flow", ""] and rows["A02"]["marked_earlier_at"].startswith("20")
    assert "damaged or cut off" in rows["A03"]["reason"] and "damaged or cut off" in rows["A04"]["reason"]
    assert rows["A01"]["marked_earlier_at"] == rows["A04"]["points"] == ""
    marking = room.mark()
    text = "\n".join(report_lines(marking, room.folder))
    assert f"A02, {EXERCISE}: 4 of 5 provisional, 20" in text
    assert text.count("(the sheet that is here now was not marked)") == 1 and "no sheet to mark" not in text
    assert "2 not marked, 0 missing, 2 marked earlier." in text
    assert [entry["learner"] for entry in as_data(marking, room.folder)["marked_earlier"]] == ["A02", "A03"]


def test_a_key_that_asks_less_than_the_one_before_leaves_each_sign_under_its_question(room, make_workbook, run):
    path = room.hand_in("A02", "A01", c=["", "", ""])
    room.mark()
    # Of two sheets neither is marked anew, so that the mark of the longer key stands.
    path.with_name("again.sheet.json").write_text(path.read_text().replace("half the", "twice the"))
    shorter = KEY[: KEY.index("    ChoiceKey")] + KEY[KEY.index("    OrderKey") :]
    make_workbook(answers=answers_notebook(key=shorter))
    head, row = run("mark", room.folder, code=1).splitlines()[1:3]
    assert head.split() == ["learner", "points", "a", "b", "c", "d"] and row.startswith("  A02")
    assert (row[head.rindex("b")], row[head.rindex("c")]) == (" ", "–")


def test_the_head_names_the_questions_even_when_nothing_was_marked(room, workbook):
    assert "d_mistake" in written_rows(room)["A01"]
    workbook.answer(EXERCISE).unlink()
    assert "d_mistake" not in written_rows(room)["A01"]


def test_the_command_prints_writes_and_exits_as_told(room, run):
    bad, _ = (room.hand_in(learner) for learner in ("A01", "A02"))
    out = run("mark", room.folder, "--exercise", "01")
    assert "A02" in out and "marks_01_water_tank.csv" in out
    bad.write_text("{")
    data = json.loads(run("mark", room.folder, "--exercise", "01", "--json", code=1))
    assert data["not_marked"][0]["sheet"] == f"for_learners/A01/{bad.name}"
    assert [m["learner"] for m in data["marked"]] == ["A02"]


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_a_csv_that_cannot_be_written_costs_no_report(room, run, refuse, more):
    room.hand_in("A01")
    refuse("replace", lambda target: target.endswith(".csv"))
    out = run("mark", room.folder, *more, code=1)
    assert "Written" not in out
    assert ('"files": []' in out and '"learner": "A01"' in out) if more else "1 sheets marked" in out
    assert "cannot be written (Permission denied): close it in the spreadsheet program" in out
    assert "marks are safe in the mark book" in out


def test_the_csv_is_written_also_when_nobody_reads_the_report(room, workbook, monkeypatch):
    def print_to_nobody(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(cli, "print", print_to_nobody, raising=False)
    with pytest.raises(KeyboardInterrupt):
        cli.run_mark(cli._parser().parse_args(["mark", str(room.folder), "--workbook", str(workbook.root)]))
    assert (room.instructor / f"marks_{EXERCISE}.csv").is_file()


def test_a_console_without_the_signs_still_shows_the_report(room, workbook, monkeypatch):
    room.hand_in("A01")
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="cp1252"))
    assert cli.main(["mark", str(room.folder), "--workbook", str(workbook.root)]) == 0
    sys.stdout.flush()
    assert b"\\u2713 right" in raw.getvalue() and b"1 sheets marked" in raw.getvalue()


def test_what_was_not_handed_out_or_is_no_class_is_wrong_use(room, workbook, tmp_path, run):
    (workbook.exercises / "03_other.ipynb").write_text("{}")
    other = f"03_other was not handed out to this class: handed out was {EXERCISE}"
    for words, told in (([tmp_path / "no"], "is not a class"), ([room.folder, "--exercise", "03"], other)):
        assert told in run("mark", *words, code=2)
    assert not (tmp_path / "no").exists()
