"""The fact bank holds what it promises: sourced, dated, of like length, none asked twice, none silly, easy to read."""

import functools
import re
import tomllib
from statistics import mean

import pytest

from tests.house.reading import reading_grade
from tests.house.source import ROOT

FILES = sorted((ROOT / "thermo_kit" / "practice" / "facts").glob("*.toml"))
FEWEST = {"law_eu": 20, "law_us": 16, "safety": 14}
MOST_FROM_MEMORY = 10
LONGEST_ASK = 35
HIGHEST_GRADE = 10
MOST_ALIKE = 0.3
SHORT, LONGER_THAN = 25, 1.6
OF_A_REGION = re.compile(r"\b(EU|United States|American)\b")
FILLING = re.compile(
    r"\b(a|an|and|are|at|by|do|does|for|from|how|in|is|it|may|must|of|on|or|the|to|what|when|where|which|you|your)\b"
)


def texts_of(question):
    return [question["right"], *(wrong["text"] for wrong in question["wrong"])]


@functools.cache
def words(text):
    return frozenset(re.findall(r"[a-z0-9]+", FILLING.sub(" ", text.casefold())))


def alike(a, b):
    return len(words(a) & words(b)) / len(words(a) | words(b))


def unfit(question):
    """What reading the bank does not refuse: asking nothing or at great length, an empty picture, law without place."""
    found = [] if question["ask"].endswith(("?", "…")) else ["it asks nothing"]
    found += [] if len(question["ask"].split()) <= LONGEST_ASK else ["it asks at too great a length"]
    found += [] if "picture" not in question or question["picture"].get("draw") else ["its picture draws nothing"]
    if OF_A_REGION.search(question["ask"]):
        found += [f"law without {key}" for key in ("region", "date") if key not in question]
    return found


def right_is_longest(questions):
    """Return (question, right option) of those whose right option is longer than each of the wrong ones."""
    return [(ask, right) for ask, right, wrong in questions if len(right) > max(map(len, wrong))]


def of_unlike_length(question):
    lengths = [len(text) for text in texts_of(question)]
    return max(lengths) > SHORT and max(lengths) > LONGER_THAN * min(lengths)


def badly_offered(question):
    """Options that repeat each other or speak of the other options."""
    texts = [text.casefold() for text in texts_of(question)]
    return len(set(texts)) < len(texts) or any(re.search(r"\b(all|none|both) of (the above|these)\b", t) for t in texts)


def twice(questions):
    """Pairs of names that ask the same: one name, one question word for word, or one right answer in like words."""
    found = []
    for i, a in enumerate(questions):
        for b in questions[:i]:
            same_words = words(a["ask"]) == words(b["ask"]) and a.get("picture") == b.get("picture")
            same_answer = words(a["right"]) == words(b["right"]) and alike(a["ask"], b["ask"]) > MOST_ALIKE
            if a["name"] == b["name"] or same_words or same_answer:
                found.append((b["name"], a["name"]))
    return found


def is_recalled(question):
    return "memory" in (question["seen"], question["source"].split(":")[0])


def grade(question):
    sentences = [question["ask"], question["because"], *(wrong["reason"] for wrong in question["wrong"])]
    return reading_grade(" ".join(sentences))


def is_hard(question):
    return grade(question) > HIGHEST_GRADE


def read(path):
    return tomllib.loads(path.read_text(encoding="utf-8"))


def whole_bank():
    return [question for path in FILES for question in read(path)["question"]]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_topic_is_complete_fair_and_easy_to_read(path):
    questions = read(path)["question"]
    assert len(questions) >= FEWEST.get(path.stem, 10)
    assert {q["name"]: told for q in questions if (told := unfit(q))} == {}
    assert [q["name"] for q in questions if of_unlike_length(q)] == []
    assert [q["name"] for q in questions if badly_offered(q)] == []
    assert mean(map(grade, questions)) <= HIGHEST_GRADE


def test_nothing_is_asked_twice():
    assert twice(whole_bank()) == []


def test_the_right_option_is_the_longest_in_at_most_one_of_three():
    questions = whole_bank()
    assert len(questions) > 200
    told = right_is_longest([(q["name"], q["right"], [w["text"] for w in q["wrong"]]) for q in questions])
    assert len(told) <= len(questions) / 3, f"{len(told)} of {len(questions)}: {told}"


def test_a_longest_right_option_is_seen_and_an_equally_long_one_is_fair():
    questions = [("A?", "long", ["abc", "d"]), ("B?", "abc", ["abc"]), ("C?", "a", ["bc"])]
    assert right_is_longest(questions) == [("A?", "long")]


def test_little_is_recalled_from_memory():
    assert sum(map(is_recalled, whole_bank())) <= MOST_FROM_MEMORY


GOOD = {
    "name": "leaks_a",
    "ask": "Where does oil stand?",
    "right": "below the leak",
    "because": "It drips.",
    "wrong": [{"text": "above the leak", "reason": "It falls."}, {"text": "on the roof", "reason": "It is inside."}],
    "source": "common practice, no source",
    "seen": "common practice",
}


def options(*texts):
    return {"right": texts[0], "wrong": [{"text": text, "reason": "r"} for text in texts[1:]]}


def asked_twice(question):
    return twice([GOOD, question])


HARD = "Notwithstanding considerable environmental ramifications, regulatory authorities differentiate categories."
# rule, what of a good question is changed, what the rule says
TWINS = [
    (unfit, {"ask": "Oil stands here."}, ["it asks nothing"]),
    (unfit, {"ask": "Is it so? " * 20 + "?"}, ["it asks at too great a length"]),
    (unfit, {"picture": {"name": "gauge"}}, ["its picture draws nothing"]),
    (unfit, {"ask": "What does the EU ask?"}, ["law without region", "law without date"]),
    (unfit, {"ask": "What does the EU ask?", "region": "EU", "date": "2024-03-11"}, []),
    (of_unlike_length, options("x" * 40, "x" * 25, "x" * 30), False),
    (of_unlike_length, options("x" * 41, "x" * 25, "x" * 30), True),
    (of_unlike_length, options("yes", "x" * 25, "no"), False),
    (badly_offered, options("below", "below"), True),
    (badly_offered, options("below", "Below"), True),
    (badly_offered, options("below", "all of the above"), True),
    (asked_twice, {"ask": "What is heavy?"}, [("leaks_a", "leaks_a")]),
    (asked_twice, {"name": "leaks_b"}, [("leaks_a", "leaks_b")]),
    (asked_twice, {"name": "leaks_b", "ask": "Below a leak, where does the oil stand?"}, [("leaks_a", "leaks_b")]),
    (asked_twice, {"name": "leaks_b", "ask": "Where does dye shine?"}, []),
    (asked_twice, {"name": "leaks_b", "ask": "Where does the oil stand?", "right": "it"}, [("leaks_a", "leaks_b")]),
    (asked_twice, {"name": "leaks_b", "picture": {"draw": "gauge"}, "right": "on the roof"}, []),
    (is_hard, {}, False),
    (is_hard, {"because": HARD}, True),
    (is_recalled, {"seen": "memory"}, True),
    (is_recalled, {"source": "memory: ISO 817"}, True),
    (is_recalled, {}, False),
]


@pytest.mark.parametrize(("rule", "change", "told"), TWINS)
def test_the_rule_can_fail(rule, change, told):
    assert not unfit(GOOD) and not of_unlike_length(GOOD) and not badly_offered(GOOD)
    assert rule({**GOOD, **change}) == told
