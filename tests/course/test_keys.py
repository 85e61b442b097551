import math
import time

import pytest

from thermo_kit.course.feedback import right_for
from thermo_kit.course.keys import ChoiceKey, Key, Mistake, NumberKey, OrderKey, Partial, ReasonKey
from thermo_kit.errors import NotebookError

RIGHT, PARTLY, WRONG = "right", "partly right", "wrong"
EMPTY, UNREADABLE, BY_HAND = "not answered", "not readable", "read by hand"


def number(value=5.0, unit="K", tolerance=0.5, *, why="the clamp", **more):
    return NumberKey("a", value=value, unit=unit, tolerance=tolerance, why=why, **more)


SUPERHEAT = number(
    points=2,
    partial=[Partial(within=1.5, points=1, help="Close.")],
    mistakes=[Mistake("bubble line", 9.0, "You used the bubble line."), Mistake("too near", 5.9, "never told")],
)
CHOICE = ChoiceKey("b", right="dew", why="vapour", mistakes=[Mistake("bubble for dew", "bubble", "Bubble is liquid.")])
ORDER = OrderKey("c", right="abcd", why="so", points=2, mistakes=[Mistake("backwards", "dcba", "The other way.")])
REASON = ReasonKey("d", ideas=[["boil", "evaporat"], ["pressure falls"]], example="It boils.", points=2)
# A rough reading keeps its credit even where a mistake lies near.
ROUGH = number(
    10.8,
    tolerance=1.0,
    partial=[Partial(within=2.0, points=0.5, help="Close.")],
    mistakes=[Mistake("wrong refrigerant", 8.6, "Look at the label.")],
)
# Air taken away from a small gauge reading: below a perfect vacuum, and still a mistake to reckon with.
VACUUM = number(
    1.45,
    "bar abs",
    tolerance=0.01,
    mistakes=[Mistake("air subtracted", -0.45, "Add the air."), Mistake("air forgotten", 0.5, "Still the gauge.")],
)
SHARE = number(0.35, "", 0.02)
PERCENT = "A number alone is a share here: write the percent sign"


@pytest.mark.parametrize(
    ("key", "given", "verdict", "points", "mistake", "told"),
    [
        (SUPERHEAT, "5", RIGHT, 2, "", ""),
        (SUPERHEAT, "5.5 K", RIGHT, 2, "", ""),
        (SUPERHEAT, "5,4", RIGHT, 2, "", ""),
        (SUPERHEAT, "9 °F", RIGHT, 2, "", ""),
        (SUPERHEAT, "6.2 K", PARTLY, 1, "", "Close."),
        (SUPERHEAT, "5.9 K", PARTLY, 1, "", "Close."),
        (SUPERHEAT, "9.2 K", WRONG, 0, "bubble line", "You used the bubble line."),
        (SUPERHEAT, "16.2 °F", WRONG, 0, "bubble line", ""),
        (SUPERHEAT, "30 K", WRONG, 0, "", "Not yet."),
        (SUPERHEAT, "", EMPTY, 0, "", ""),
        (SUPERHEAT, "   ", EMPTY, 0, "", ""),
        (SUPERHEAT, "five", UNREADABLE, 0, "", ""),
        (SUPERHEAT, "5 bar", UNREADABLE, 0, "", ""),
        (ROUGH, "9.3", PARTLY, 0.5, "", "Close. Or it is this: Look at the label."),
        (ROUGH, "8.6", WRONG, 0, "wrong refrigerant", ""),
        (VACUUM, "0.5", WRONG, 0, "air forgotten", ""),
        (VACUUM, "2", WRONG, 0, "", ""),
        (SHARE, "35", WRONG, 0, "", PERCENT),
        (SHARE, "35 %", RIGHT, 1, "", ""),
        (SHARE, "3.5", WRONG, 0, "", "Not yet."),
        (CHOICE, "dew", RIGHT, 1, "", "Right. Vapour."),
        (CHOICE, "bubble", WRONG, 0, "bubble for dew", ""),
        (CHOICE, "something else", WRONG, 0, "", ""),
        (CHOICE, "", EMPTY, 0, "", ""),
        (ORDER, [*"abcd"], RIGHT, 2, "", ""),
        (ORDER, [*"abdc"], PARTLY, 1, "", ""),
        (ORDER, [*"dbca"], WRONG, 0, "", ""),
        (ORDER, [*"dcba"], WRONG, 0, "backwards", ""),
        (ORDER, ["a", "a", "b", ""], WRONG, 0, "", "Not yet. Each step must stand in exactly one place."),
        (ORDER, [""] * 4, EMPTY, 0, "", ""),
        # A reason is always for a person to read.
        (REASON, "The pressure  FALLS and so it Evaporates.", BY_HAND, 2, "", ""),
        (REASON, "It boils", BY_HAND, 1, "", "We found the words of 1 of 2 ideas. Proposed: 1 of 2 points."),
        (REASON, "no idea", BY_HAND, 0, "", ""),
        (REASON, " ", EMPTY, 0, "", ""),
    ],
)
def test_how_an_answer_is_judged(key, given, verdict, points, mistake, told):
    judged = key.judge(given)
    assert (judged.verdict, judged.points, judged.out_of, judged.mistake) == (verdict, points, key.points, mistake)
    assert judged.feedback.startswith(told)


def test_blanks_without_end_keep_nobody_waiting():
    began = time.process_time()
    given = "1" + " " * 1_500 + "a\nb"
    assert SUPERHEAT.judge(given).verdict == UNREADABLE and right_for(SUPERHEAT, given) == "5 K"
    assert time.process_time() - began < 5


@pytest.mark.parametrize(
    ("value", "partial", "is_clear"),
    [(12.1, [], True), (12.0, [], False), (12.1, [Partial(within=2.5, points=0.5, help="h")], False)],
)
def test_a_key_is_clear_when_each_mistake_can_be_told_from_the_right_number(value, partial, is_clear):
    assert Key(number(10.0, tolerance=1.0, partial=partial, mistakes=[Mistake("m", value, "h")])).is_clear == is_clear


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
    key = number(value, unit, 0.01 * value, altitude=1600)
    assert {given: key.judge(given).verdict for given in verdicts} == verdicts


def test_the_digest_of_a_key_follows_its_meaning_and_not_its_words():
    def digest(**changes):
        return Key(number(**{"mistakes": [Mistake("m", 9.0, "Help.")]} | changes)).digest

    same = [dict(why="another reason"), dict(value=5.00000001), dict(mistakes=[Mistake("m", 9, "Help better.")])]
    other = [dict(value=5.1), dict(unit="°C"), dict(tolerance=0.6), dict(points=2), dict(mistakes=[])]
    other.append(dict(partial=[Partial(within=1.0, points=0.5, help="Close.")]))
    other.append(dict(mistakes=[Mistake("n", 9.0, "Help.")]))
    assert {digest(**change) for change in same} == {digest()}
    assert len({digest(**change) for change in [{}, *other]}) == len(other) + 1


def test_a_sheet_edited_by_hand_cannot_break_marking():
    key = Key(SUPERHEAT, ORDER)
    assert [v.verdict for v in key.judge({"a": ["5", "K"], "c": "ab", "z": "x"})] == [EMPTY, EMPTY]


@pytest.mark.parametrize(
    ("declare", "told"),
    [
        (lambda: number(math.nan), "value that is not a number"),
        (lambda: number(tolerance=0), "tolerance that is not above zero"),
        (lambda: number(why=""), "does not say why"),
        (lambda: number(points=0), "gives no points"),
        (lambda: number(partial=[Partial(within=2, points=1, help="")]), "partial credit"),
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
