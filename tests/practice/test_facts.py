"""The fact bank holds what it promises: sourced, dated, of like length, none asked twice, none silly, easy to read."""

import functools
import re
import tomllib
from statistics import mean

import pytest

from tests.house.questions import right_is_longest
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


def from_memory(questions):
    return [q["name"] for q in questions if "memory" in (q["seen"], q["source"].split(":")[0])]


def grade(question):
    sentences = [question["ask"], question["because"], *(wrong["reason"] for wrong in question["wrong"])]
    return reading_grade(" ".join(sentences))


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


def test_little_is_recalled_from_memory():
    assert len(from_memory(whole_bank())) <= MOST_FROM_MEMORY


GOOD = {
    "name": "leaks_a",
    "ask": "Where does oil stand?",
    "right": "below the leak",
    "because": "It drips.",
    "wrong": [{"text": "above the leak", "reason": "It falls."}, {"text": "on the roof", "reason": "It is inside."}],
    "source": "common practice, no source",
    "seen": "common practice",
}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({}, []),
        ({"ask": "Oil stands here."}, ["it asks nothing"]),
        ({"ask": "Is it so? " * 20 + "?"}, ["it asks at too great a length"]),
        ({"picture": {"name": "gauge"}}, ["its picture draws nothing"]),
        ({"ask": "What does the EU ask?"}, ["law without region", "law without date"]),
        ({"ask": "What does the EU ask?", "region": "EU", "date": "2024-03-11"}, []),
    ],
)
def test_an_unfit_question_is_seen(change, told):
    assert unfit({**GOOD, **change}) == told


@pytest.mark.parametrize(
    ("right", "others", "told"),
    [("x" * 40, ["x" * 25, "x" * 30], False), ("x" * 41, ["x" * 25, "x" * 30], True), ("yes", ["x" * 25, "no"], False)],
)
def test_options_of_unlike_length_are_seen(right, others, told):
    wrong = [{"text": text, "reason": "r"} for text in others]
    assert of_unlike_length({"right": right, "wrong": wrong}) is told


@pytest.mark.parametrize("text", ["below the leak", "Below the leak", "all of the above"])
def test_bad_options_are_seen(text):
    assert not badly_offered(GOOD)
    assert badly_offered({**GOOD, "wrong": [{"text": text, "reason": "r"}]})


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"ask": "What is heavy?"}, True),
        ({"name": "leaks_b"}, True),
        ({"name": "leaks_b", "ask": "Below a leak, where does the oil stand?", "right": "below the leak"}, True),
        ({"name": "leaks_b", "ask": "Where does dye shine?"}, False),
        ({"name": "leaks_b", "ask": "Where does the oil stand?", "right": "on the roof"}, True),
        ({"name": "leaks_b", "picture": {"draw": "gauge"}, "right": "on the roof"}, False),
    ],
)
def test_a_question_asked_twice_is_seen(change, told):
    assert bool(twice([GOOD, {**GOOD, **change}])) is told


def test_what_is_recalled_is_counted():
    recalled = [{**GOOD, "seen": "memory"}, {**GOOD, "source": "memory: ISO 817"}, GOOD]
    assert len(from_memory(recalled)) == 2


def test_a_hard_question_is_seen():
    hard = "Notwithstanding considerable environmental ramifications, regulatory authorities differentiate categories."
    assert grade(GOOD) < 4 < HIGHEST_GRADE < grade({**GOOD, "because": hard})
