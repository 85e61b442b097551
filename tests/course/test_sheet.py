import json
import os

import pytest

from tests.course.sample_workbook import EXERCISE
from thermo_kit.course.cases import Case
from thermo_kit.course.files import read_limited
from thermo_kit.course.sheet import SHEET_LIMIT, Sheet, read_sheet, sheet_path
from thermo_kit.course.tickets import issue_ticket, learner_of, verify_ticket
from thermo_kit.errors import FileAccessError, SheetError

CASE = Case(EXERCISE, (("volume", 40), ("flow", 2.0), ("pump", "small"), ("floor", 0)))
OTHER = Case(EXERCISE, (("volume", 45), ("flow", 2.0), ("pump", "small"), ("floor", 0)))
SECRET = b"k" * 32


@pytest.fixture
def path(tmp_path):
    return tmp_path / f"{EXERCISE}.sheet.json"


SAVED = {"a": "20 min", "c": ["check the hose", "", ""]}


def filled(path, case=CASE, ticket=""):
    sheet = Sheet(path, case, ticket)
    for question, given in SAVED.items():
        sheet.answer(question, given)
    return sheet


def test_every_entry_is_saved_and_restored(path):
    Sheet(path, CASE)
    assert not path.exists(), "opening alone writes nothing"
    filled(path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    again = Sheet(path, CASE)
    assert again.notes == [], "a byte order mark is no damage"
    assert again.answers == SAVED and again.content.case == CASE


def test_two_open_tabs_do_not_wipe_each_other(path):
    first, second = Sheet(path, CASE), Sheet(path, CASE)
    first.answer("a", "20 min")
    second.answer("b", "half the flow")
    assert Sheet(path, CASE).answers == {"a": "20 min", "b": "half the flow"}


@pytest.mark.parametrize(
    "damage",
    [
        lambda raw: raw[: len(raw) // 2],
        lambda raw: b"",
        lambda raw: b"\xff\xfe" + raw,
        lambda raw: raw.replace(b'"exercise"', b'"excercise"'),
        lambda raw: b"[" * 100_000,
        lambda raw: raw + b" " * SHEET_LIMIT,
    ],
)
def test_a_damaged_sheet_is_set_aside_byte_for_byte(path, damage):
    filled(path)
    damaged = damage(path.read_bytes())
    path.write_bytes(damaged)
    sheet = Sheet(path, CASE)
    assert sheet.answers == {}
    told = "is kept as 01_water_tank.sheet.json.damaged-1; this sheet starts empty."
    assert told in sheet.notes[0] and path.with_name(path.name + ".damaged-1").read_bytes() == damaged
    sheet.answer("a", "new")
    assert Sheet(path, CASE).answers == {"a": "new"}


@pytest.mark.parametrize(
    ("case", "ticket"), [(OTHER, ""), (CASE, issue_ticket(SECRET, "A01", CASE)), (Case("02_other", CASE.drawn), "")]
)
def test_a_sheet_of_another_case_is_kept_but_not_used(path, case, ticket):
    filled(path)
    before = path.read_bytes()
    assert Sheet(path, case, ticket).answers == {}
    assert path.with_name(path.name + ".other-1").read_bytes() == before


def test_two_cases_that_share_a_place_each_keep_their_answers(path):
    first, second = filled(path), Sheet(path, OTHER)
    second.answer("a", "22 min")
    first.answer("b", "half the flow")
    second.answer("b", "twice the flow")
    again = Sheet(path, CASE)
    assert again.answers == SAVED | {"b": "half the flow"}
    assert again.notes == ["Your earlier answers to these numbers were found and taken back."]
    assert Sheet(path, OTHER).answers == {"a": "22 min", "b": "twice the flow"}
    Sheet(path, Case(EXERCISE, (("volume", 50), *CASE.drawn[1:])))
    assert not path.exists() and Sheet(path, CASE).answers == again.answers
    assert sorted(p.suffix for p in path.parent.glob(f"{path.name}*")) == [".json", ".other-2"]


def test_the_newest_of_several_put_away_is_taken_back(path):
    filled(path)
    for number, when in (("1", "2024-05-02"), ("2", "2024-05-03"), ("10", "2024-05-01")):
        put_away = json.loads(path.read_text()) | {"saved_at": when, "answers": {"a": number}}
        path.with_name(f"{path.name}.other-{number}").write_text(json.dumps(put_away))
    path.with_name(path.name + ".other-3").write_text("{")
    path.unlink()
    filled(path, OTHER)
    assert Sheet(path, CASE).answers == {"a": "2"}


def test_what_cannot_be_saved_leaves_what_was(path, refuse):
    sheet = filled(path)
    with pytest.raises(SheetError, match=r"too long.*at most"):
        sheet.answer("d", "x" * 5_001)
    refuse("replace")
    with pytest.raises(FileAccessError, match="Permission denied"):
        sheet.answer("a", "21 min")
    assert read_sheet(path).answers == sheet.answers == SAVED and os.listdir(path.parent) == [path.name]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"sheet_version": 2}, "version 2: update the workbook"),
        ({"exercise": "../../etc"}, "edited by hand"),
        ({"answers": {"a": 5}}, "edited by hand, and cannot be used at answers / a"),
        ({"answers": {"a b": "x"}}, "edited by hand"),
        ({"numbers": {"volume": None}}, "edited by hand"),
        ({"numbers": {"volume": [1]}}, "edited by hand"),
        ({"ticket": "A01"}, "edited by hand"),
        ({"extra": 1}, "edited by hand"),
        ("[1, 2]", "cannot be used at the whole file"),
        ('{"sheet_version": 1', "cut off.*: ask for the file again"),
    ],
)
def test_a_sheet_edited_by_hand_is_refused_with_the_place(path, change, told):
    filled(path)
    path.write_text(change if isinstance(change, str) else json.dumps(json.loads(path.read_text()) | change))
    with pytest.raises(SheetError, match=told):
        read_sheet(path)


def test_tickets_bind_learner_exercise_and_numbers():
    ticket = issue_ticket(SECRET, "A01", CASE)
    assert learner_of(ticket) == "A01"
    for case in (CASE, Case(EXERCISE, tuple(reversed(CASE.drawn)))):
        assert verify_ticket(SECRET, ticket, case) == "A01"
    for secret, text, case, told in [
        (SECRET, ticket, OTHER, "altered, or it is from another class"),
        (SECRET, ticket, Case("02_other", CASE.drawn), "altered"),
        (SECRET, ticket.replace("A01", "A02"), CASE, "altered"),
        (b"x" * 32, ticket, CASE, "altered"),
        (SECRET, "", CASE, "carries no ticket"),
        (SECRET, "A01.123", CASE, "ticket is not whole"),
    ]:
        with pytest.raises(SheetError, match=told):
            verify_ticket(secret, text, case)


def test_reading_has_a_limit(path):
    path.write_bytes(b"x" * 2001)
    assert len(read_limited(path, 2001)) == 2001
    with pytest.raises(FileAccessError, match="larger than 2 kB"):
        read_limited(path, 2000)


def test_where_sheets_lie(tmp_path, monkeypatch):
    folder, records = tmp_path / "exercises", tmp_path / "records"
    assert sheet_path("01_a", handed_out=True, folder=folder) == folder / "01_a.sheet.json"
    assert sheet_path("01_a", handed_out=False, folder=folder) == records / "exercises" / "01_a.sheet.json"
    monkeypatch.delenv("THERMO_KIT_RECORDS")
    assert sheet_path("01_a", handed_out=False, folder=folder) == folder / "sheets" / "01_a.sheet.json"
