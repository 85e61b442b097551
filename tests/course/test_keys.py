import math
import time

import pytest

from thermo_kit.course.feedback import right_for
from thermo_kit.course.keys import (
    BY_HAND,
    EMPTY,
    PARTLY,
    RIGHT,
    UNREADABLE,
    WRONG,
    ChoiceKey,
    Key,
    Mistake,
    NumberKey,
    OrderKey,
    Partial,
    ReasonKey,
)
from thermo_kit.errors import NotebookError

SUPERHEAT = NumberKey(
    "a",
    value=5.0,
    unit="K",
    tolerance=0.5,
    why="the clamp",
    points=2,
    partial=[Partial(within=1.5, points=1, help="Close.")],
    mistakes=[Mistake("bubble line", 9.0, "You used the bubble line."), Mistake("too near", 5.9, "never told")],
)


@pytest.mark.parametrize(
    ("given", "verdict", "points"),
    [
        ("5", RIGHT, 2),
        ("5.5 K", RIGHT, 2),
        ("5,4", RIGHT, 2),
        ("9 °F", RIGHT, 2),
        ("6.2 K", PARTLY, 1),
        ("5.9 K", PARTLY, 1),
        ("9.0 K", WRONG, 0),
        ("16.2 °F", WRONG, 0),
        ("30 K", WRONG, 0),
        ("", EMPTY, 0),
        ("   ", EMPTY, 0),
        ("five", UNREADABLE, 0),
        ("5 bar", UNREADABLE, 0),
    ],
)
def test_numbers_in_any_unit_of_their_kind(given, verdict, points):
    judged = SUPERHEAT.judge(given)
    assert (judged.verdict, judged.points, judged.out_of) == (verdict, points, 2)


def test_a_rough_reading_keeps_its_credit_even_where_a_mistake_lies_near():
    key = NumberKey(
        "a", value=10.8, unit="K", tolerance=1.0, why="x", partial=[Partial(within=2.0, points=0.5, help="Close.")],
        mistakes=[Mistake("wrong refrigerant", 8.6, "Look at the label.")],
    )  # fmt: skip
    near, shown = key.judge("9.3"), key.judge("8.6")
    assert (near.verdict, near.points, near.mistake) == (PARTLY, 0.5, "")
    assert near.feedback == "Close. Or it is this: Look at the label."
    assert (shown.verdict, shown.mistake) == (WRONG, "wrong refrigerant")


def test_blanks_without_end_keep_nobody_waiting():
    began = time.process_time()
    given = "1" + " " * 1_500 + "a\nb"
    assert SUPERHEAT.judge(given).verdict == UNREADABLE and right_for(SUPERHEAT, given) == "5 K"
    assert time.process_time() - began < 5


def test_a_key_is_clear_when_each_mistake_can_be_told_from_the_right_number():
    def key(mistake, partial=()):
        return Key(NumberKey("a", value=10.0, unit="K", tolerance=1.0, why="x", partial=partial, mistakes=[mistake]))

    assert key(Mistake("m", 12.1, "h")).is_clear
    assert not key(Mistake("m", 12.0, "h")).is_clear
    assert not key(Mistake("m", 12.1, "h"), [Partial(within=2.5, points=0.5, help="h")]).is_clear


def test_a_mistake_that_nobody_could_measure_does_not_stop_the_judging():
    # Air taken away from a small gauge reading: below a perfect vacuum, and still a mistake to reckon with.
    key = NumberKey(
        "a", value=1.45, unit="bar abs", tolerance=0.01, why="x",
        mistakes=[Mistake("air subtracted", -0.45, "Add the air."), Mistake("air forgotten", 0.5, "Still the gauge.")],
    )  # fmt: skip
    assert (key.judge("0.5").verdict, key.judge("0.5").mistake) == (WRONG, "air forgotten")
    assert (key.judge("2").verdict, key.judge("2").mistake) == (WRONG, "")


@pytest.mark.parametrize(
    ("value", "unit", "verdicts"),
    [
        # An absolute pressure cannot be answered with a gauge reading; a gauge pressure may carry either.
        (2.97, "bar abs", {"2.97 bar": RIGHT, "2.0 bar(g)": UNREADABLE}),
        (2.0, "bar(g)", dict.fromkeys(("2.0", "2.0 bar", "2.0 bar(g)", "29 psi", "29.0 psig", "2.835 bar abs"), RIGHT)),
        (2.0, "bar(g)", {"2.0 bar abs": WRONG}),
        (50.0, "°C", {"122 °F": RIGHT, "124 °F": WRONG}),
        (3.97, "", {"3.95": RIGHT, "3.95 bar": UNREADABLE}),
    ],
)
def test_units_with_an_offset_and_without_a_name(value, unit, verdicts):
    key = NumberKey("a", value=value, unit=unit, tolerance=0.01 * value, why="x", altitude=1600)
    assert {given: key.judge(given).verdict for given in verdicts} == verdicts


def test_a_named_mistake_is_told_with_its_help():
    judged = SUPERHEAT.judge("9.2 K")
    assert (judged.mistake, judged.feedback) == ("bubble line", "You used the bubble line.")
    assert SUPERHEAT.judge("30 K").mistake == ""


def test_choice_names_the_mistake():
    key = ChoiceKey("b", right="dew", why="vapour", mistakes=[Mistake("bubble for dew", "bubble", "Bubble is liquid.")])
    assert (key.judge("dew").verdict, key.judge("dew").feedback) == (RIGHT, "Right. Vapour.")
    assert key.judge("bubble").mistake == "bubble for dew"
    assert key.judge("something else").verdict == WRONG
    assert key.judge("").verdict == EMPTY


def test_order_gives_half_for_swapped_neighbours():
    key = OrderKey("c", right="abcd", why="so", points=2, mistakes=[Mistake("backwards", "dcba", "The other way.")])
    assert key.judge(list("abcd")).points == 2
    assert (key.judge(list("abdc")).verdict, key.judge(list("abdc")).points) == (PARTLY, 1)
    assert key.judge(list("dbca")).points == 0
    assert key.judge(list("dcba")).mistake == "backwards"
    assert "exactly one place" in key.judge(["a", "a", "b", ""]).feedback
    assert key.judge(["", "", "", ""]).verdict == EMPTY


def test_a_reason_is_always_for_a_person_to_read():
    key = ReasonKey("d", ideas=[["boil", "evaporat"], ["pressure falls"]], example="It boils.", points=2)
    full = key.judge("The pressure  FALLS and so it Evaporates.")
    assert (full.verdict, full.points) == (BY_HAND, 2)
    assert key.judge("It boils").points == 1 and "Proposed: 1 of 2 points" in key.judge("It boils").feedback
    assert key.judge("no idea").points == 0 and key.judge("no idea").verdict == BY_HAND
    assert key.judge(" ").verdict == EMPTY


def number_key(**changes):
    declared = dict(value=5.0, unit="K", tolerance=0.5, why="the clamp", mistakes=[Mistake("m", 9.0, "Help.")])
    return Key(NumberKey("a", **(declared | changes)))


def test_the_digest_of_a_key_follows_its_meaning_and_not_its_words():
    same = [dict(why="another reason"), dict(value=5.00000001), dict(mistakes=[Mistake("m", 9, "Help better.")])]
    other = [
        dict(value=5.1), dict(unit="°C"), dict(tolerance=0.6), dict(points=2), dict(mistakes=[]),
        dict(partial=[Partial(within=1.0, points=0.5, help="Close.")]), dict(mistakes=[Mistake("n", 9.0, "Help.")]),
    ]  # fmt: skip
    assert {number_key(**change).digest for change in same} == {number_key().digest}
    assert len({number_key(**change).digest for change in [{}, *other]}) == len(other) + 1


def test_a_sheet_edited_by_hand_cannot_break_marking():
    key = Key(SUPERHEAT, OrderKey("c", right="ab", why="so"))
    assert [v.verdict for v in key.judge({"a": ["5", "K"], "c": "ab", "z": "x"})] == [EMPTY, EMPTY]


@pytest.mark.parametrize(
    ("declare", "told"),
    [
        (lambda: NumberKey("a", value=math.nan, unit="K", tolerance=1, why="x"), "value that is not a number"),
        (lambda: NumberKey("a", value=1, unit="K", tolerance=0, why="x"), "tolerance that is not above zero"),
        (lambda: NumberKey("a", value=1, unit="K", tolerance=1, why=""), "does not say why"),
        (lambda: NumberKey("a", value=1, unit="K", tolerance=1, why="x", points=0), "gives no points"),
        (
            lambda: NumberKey(
                "a", value=1, unit="K", tolerance=1, why="x", partial=[Partial(within=2, points=1, help="")]
            ),
            "partial credit",
        ),
        (lambda: ChoiceKey("a", right="x", why="y", mistakes=[Mistake("m", "x", "help")]), "equals the right answer"),
        (lambda: ChoiceKey("a", right="x", why="y", mistakes=[Mistake("m", "z", "")]), "mistake without name or help"),
        (lambda: ReasonKey("a", ideas=["boil"], example="x"), "each a list of word stems"),
        (lambda: ReasonKey("a", ideas=[], example="x"), "needs ideas"),
        (lambda: Key(), "is empty"),
        (lambda: Key(SUPERHEAT, SUPERHEAT), "answers a question twice"),
    ],
)
def test_a_key_that_cannot_work_is_refused(declare, told):
    with pytest.raises(NotebookError, match=told):
        declare()


def test_the_key_prints_what_it_declares():
    text = repr(Key(SUPERHEAT))
    assert "a. 5 K ± 0.5 (the clamp) [2\u00a0points]" in text
    assert "mistake: bubble line: 9 K" in text


def test_percent_without_its_sign_is_told_so():
    share = NumberKey("a", value=0.35, unit="", tolerance=0.02, why="x")
    assert "write the percent sign" in share.judge("35").feedback and share.judge("35 %").verdict == RIGHT
    assert "percent sign" not in share.judge("3.5").feedback
