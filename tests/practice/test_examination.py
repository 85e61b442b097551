"""Blueprints add up, an examination is drawn, timed, taken up again and judged."""

import pytest

from thermo_kit.course.record import Record
from thermo_kit.errors import BlueprintError, CourseError, FileAccessError
from thermo_kit.practice.bank import load
from thermo_kit.practice.blueprint import load_blueprint, read_blueprint, supplied_blueprints
from thermo_kit.practice.examination import KEPT_AS, Sitting, wilson
from thermo_kit.practice.examination_panel import ExaminationPanel

PLAN = 'title = "Small"\nquestions = {}\nminutes = 30\npass_mark = 60\n[shares]\n{}'
SMALL = read_blueprint(PLAN.format(10, "leaks = 50\nsafety = 30\nparts = 20"))


@pytest.mark.parametrize("name", supplied_blueprints())
def test_a_supplied_blueprint_can_be_drawn_from_the_bank(name):
    blueprint, bank = supplied_blueprints()[name], load()
    blueprint.check_against(bank)
    assert sum(blueprint.counts.values()) == blueprint.questions
    assert "no source" in blueprint.about, "what is our choice is told"


@pytest.mark.parametrize(
    "text, told",
    [
        (PLAN.format(10, "leaks = 50\nsafety = 40"), "add to 90 % where 100 % is needed: raise some of them by 10"),
        (PLAN.format(10, "leaks = 50\nbrakes = 50"), "brakes is no topic: use one of law_eu"),
        (PLAN.format(10, "leaks = 99\nsafety = 1"), "safety would get none of 10 questions"),
        (PLAN.format(0, "leaks = 100"), "questions Input should be greater than or equal to 1"),
        (PLAN.format("true", "leaks = 100"), "questions"),
        (PLAN.format(10, "leaks = nan"), "leaks"),
        (PLAN.format(10, 'leaks = "half"'), "shares.leaks"),
        (PLAN.format(10, "leaks = 100\n[more]"), "more Extra inputs are not permitted"),
        ("title =", "is not readable"),
        ("title = " + "[" * 50_000, "is not readable"),
        ("", "minutes Field required"),
    ],
)
def test_a_blueprint_that_does_not_add_up_is_refused_in_words(text, told):
    with pytest.raises(BlueprintError) as error:
        read_blueprint(text)
    assert told in str(error.value)


def test_an_instructor_s_own_file(tmp_path, make_bank):
    path = tmp_path / "plan.toml"
    path.write_text(PLAN.format(10, "leaks = 50\nsafety = 30\nparts = 20"), encoding="utf-8")
    assert load_blueprint(path).counts == {"leaks": 5, "safety": 3, "parts": 2}
    with pytest.raises(BlueprintError, match="leaks needs 5 questions but the bank holds 4"):
        SMALL.check_against(make_bank(12))
    path.write_bytes(b"\xff")
    with pytest.raises(BlueprintError, match="UTF-8"):
        load_blueprint(path)
    with pytest.raises(FileAccessError):
        load_blueprint("~nobody/nothing.toml")


def test_shares_become_whole_numbers_that_keep_the_sum():
    thirds = read_blueprint(PLAN.format(10, "leaks = 33.4\nsafety = 33.3\nparts = 33.3"))
    assert thirds.counts == {"leaks": 4, "safety": 3, "parts": 3}


def sit(record, bank, answers):
    sitting = Sitting.begin(SMALL, bank, record)
    for number, given in enumerate(answers):
        sitting.answer(number, given)
    return sitting


def test_it_is_drawn_anew_each_time_and_the_same_when_taken_up_again(record, bank):
    first = sit(record, bank, ["yes", "no"])
    again = Sitting.resume(bank, record)
    assert [item.name for item in again.items] == [item.name for item in first.items]
    assert [again.asked(n) for n in range(10)] == [first.asked(n) for n in range(10)]
    assert again.given(0) == "yes" and again.given(1) == "no" and again.open_places == list(range(2, 10))
    assert sit(record, bank, []).asked(0).text != first.asked(0).text
    assert record.answers() == (), "nothing is told before the end"


def test_the_clock_goes_on_while_the_page_is_closed_and_ends_it(record, clock, bank):
    sit(record, bank, ["yes"])
    clock.goes(minutes=29)
    sitting = Sitting.resume(bank, record)
    assert sitting.seconds_left == 60 and not sitting.is_ended
    sitting.answer(1, "yes")
    clock.goes(hours=-3)
    assert Sitting.resume(bank, record).seconds_left == 60, "a clock set back gives no time"
    clock.goes(minutes=1, hours=3)
    sitting.answer(2, "yes")
    assert sitting.is_ended and sitting.given(2) == "", "after the end nothing is taken"
    report = Sitting.resume(bank, record).finish()
    assert report.by_time and report.minutes == 30 and report.points == 2 and not report.passed


def test_the_report_tells_points_ranges_mistakes_and_what_to_read(record, bank):
    sitting = sit(record, bank, ["yes"] * 6 + ["no"] * 3)
    report = sitting.finish()
    assert report.points == 6 and report.passed and not report.by_time
    assert {title: out_of for title, _points, out_of, *_range in report.topics} == {"Leaks": 5, "Safety": 3, "Parts": 2}
    assert all(low <= points / out_of <= high for _title, points, out_of, low, high in report.topics)
    assert list(report.topics) == sorted(report.topics, key=lambda one: one[1] / one[2])
    assert [one.number for one in report.not_right] == [7, 8, 9, 10]
    assert report.read_again and all(count >= 1 for _number, _name, count in report.read_again)
    page = report.page.whole
    for said in ("6 of 10 points", "Passed", "It is not so.", "no answer", "Yes. So it is.", "Wilson", "a book"):
        assert said in page, said
    assert "http" not in page and "<script" not in page
    kept = record.answers()
    assert len(kept) == 9 and {answer.mode for answer in kept} == {"examination"} and sum(a.right for a in kept) == 6
    assert Sitting.resume(bank, record).finish().points == 6
    assert len(record.answers()) == 9 and len(record.scores(KEPT_AS)) == 1, "looked at again, it is kept once"


def test_two_pages_write_on_one_examination_and_what_one_ended_is_ended_for_the_other(record, clock, bank):
    one = sit(record, bank, ["yes"] * 3)
    other = Sitting.resume(bank, Record(now=clock))
    one.answer(3, "no")
    other.answer(5, "no")
    assert other.finish().points == 3 and one.finish().points == 3
    one.answer(4, "yes")
    assert one.given(4) == "" and len(record.scores(KEPT_AS)) == 1 and len(record.answers()) == 5


def test_a_question_that_is_gone_is_told_and_another_examination_can_begin(record, make_bank):
    sit(record, make_bank(30), [])
    with pytest.raises(CourseError, match="begin a new examination"):
        Sitting.resume(make_bank(3), record)
    panel = ExaminationPanel(make_bank(3), record)
    assert "begin a new examination" in panel.error_line.value and panel.begin in panel.children


def test_the_range_is_the_published_one():
    # Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (memory): 81 of 263, 15 of 148.
    assert wilson(81, 263) == pytest.approx((0.2553, 0.3662), abs=1e-4)
    assert wilson(15, 148) == pytest.approx((0.0624, 0.1605), abs=1e-4)
    assert wilson(0, 5)[0] == pytest.approx(0, abs=1e-12) and wilson(5, 5)[1] == pytest.approx(1)


def test_the_panel_from_beginning_to_end(record, clock, bank, tmp_path):
    plan = tmp_path / "plan.toml"
    plan.write_text(PLAN.format(10, "leaks = 50\nsafety = 40"), encoding="utf-8")
    panel = ExaminationPanel(bank, record)
    panel.choice.file.value = str(plan)
    panel.on_begin(None)
    assert "add to 90 %" in panel.error_line.value
    plan.write_text(PLAN.format(10, "leaks = 50\nsafety = 50"), encoding="utf-8")
    panel.on_begin(None)
    assert panel.error_line.value == "" and "30 minutes left. 0 of 10 answered." in panel.clock.value
    seen = set()
    for _ in range(9):
        seen.add(panel.question.value)
        panel.entry.children[0].value = "yes"
        panel.on_step(1)
    assert len(seen) == 9 and panel.place.options[0][0] == "1 of 10, answered" and panel.place.value == 9
    panel.on_step(-1)
    assert panel.entry.children[0].value == "yes" and "✓" not in panel.question.value
    panel.on_hand_in(None)
    assert "1 without an answer" in panel.hand_in.description and record.answers() == ()
    panel.on_hand_in(None)
    assert "9 of 10 points" in panel.result.value and 'download="examination.html"' in panel.result.value
    opened = ExaminationPanel(bank, record)
    assert opened.last in opened.children
    opened.on_end(None)
    assert "9 of 10 points" in opened.result.value


def test_the_panel_ends_by_the_clock(record, clock, bank):
    sit(record, bank, ["yes"] * 4)
    panel = ExaminationPanel(bank, record)
    assert panel.place.value == 4, "at the first open question"
    entry = panel.entry.children[0]
    clock.goes(minutes=31)
    entry.value = "yes"
    assert "The time was over" in panel.result.value and "4 of 10 points" in panel.result.value
