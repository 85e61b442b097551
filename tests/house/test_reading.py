"""The measure of reading ease does what it says."""

import pytest

from tests.house.reading import reading_grade, running_text, syllables, words_of


@pytest.mark.parametrize(
    "word, count", [("cat", 1), ("gauge", 1), ("liquid", 2), ("compressor", 3), ("temperature", 4), ("subcooling", 3)]
)
def test_syllables(word, count):
    assert abs(syllables(word) - count) <= (word == "temperature")


def test_the_formula_on_a_counted_text():
    # 2 sentences, 10 words, 10 syllables: 0.39 × 5 + 11.8 × 1 − 15.59
    assert reading_grade("The cat sat on the mat. It was so warm.") == pytest.approx(0.39 * 5 + 11.8 - 15.59)


def test_only_running_text_counts():
    text = "# A heading\n\nIt boils. It cools.\n\n| a | table |\n\n```\ncode here\n```\n\n- one item\n- two items\n\n"
    text += "So $x^2$ grows."
    assert running_text(text) == ["It boils.", "It cools.", "one item", "two items", "So  x  grows."]
    assert words_of("R-134a boils at 2.4 bar, −10 °C.") == ["boils", "at", "bar"]


def test_longer_words_and_sentences_are_harder():
    easy = "Gas goes in. It gets hot. It goes out."
    hard = "Refrigerant vapour enters the compressor, whereupon considerable temperature elevation accompanies it."
    assert reading_grade(easy) < 3 < 12 < reading_grade(hard)
    assert reading_grade("") == 0.0
