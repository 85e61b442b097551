"""Answers that the stored results of an exercise give away."""

import re

from thermo_kit.course.keys import ChoiceKey, NumberKey

# What a reader or a screen reader gets of a stored result beside the text between the tags.
TOLD_BY_ATTRIBUTES = re.compile(r'(?:aria-label|alt|title)="([^"]*)"')
TAG = re.compile(r"<[^>]*>")
# The figures along the axes of a picture.
AXES = re.compile(r"<text\b[^>]*>\s*[-−]?[\d.,]+\s*</text>")
# So many numbers of one unit are a table in which the learner looks something up.
FEWEST_IN_A_TABLE = 10
NUMBER = r"(?<![\d.,])([-−]?\d[\d,]*(?:\.\d+)?)"


def answers_told(notebook, key):
    """Answers of a key that stand in the stored results of its exercise, rounded to the decimals shown there."""
    texts = stored_texts(notebook)
    found = []
    for part in key.parts:
        if isinstance(part, NumberKey):
            found += [f"{part.question}: {shown}" for text in texts for shown in _shown(part, text)]
        elif isinstance(part, ChoiceKey) and len(part.right) > 8:
            wrong = [mistake.value for mistake in part.mistakes]
            found += [f"{part.question}: {part.right}" for text in texts if _names_only(text, part.right, wrong)]
    return sorted(set(found))


def stored_texts(notebook):
    """All that the stored results of an exercise say, but for the answer sheet itself."""
    texts = []
    for cell in notebook["cells"]:
        for output in cell.get("outputs", ()):
            data = {"text/plain": output.get("text", ""), **output.get("data", {})}
            for kind, value in data.items():
                text = value if isinstance(value, str) else "".join(value)
                if kind in ("text/html", "image/svg+xml"):
                    text = " | ".join([*TOLD_BY_ATTRIBUTES.findall(text), TAG.sub(" ", AXES.sub(" ", text))])
                elif not kind.startswith("text/"):
                    continue
                if not text.startswith("Answer sheet "):
                    texts.append(text)
    return texts


def _shown(part, text):
    # A number without a unit is looked for with its decimals only: a whole one may stand for anything.
    unit = rf"\s*{re.escape(part.unit)}(?![\w/(])" if part.unit else r"(?![\d.,]*\s*[A-Za-z°%])"
    matches = list(re.finditer(NUMBER + unit, text))
    if part.unit and len({match[1] for match in matches}) >= FEWEST_IN_A_TABLE:
        return
    for match in matches:
        digits = match[1].replace("−", "-").replace(",", "")
        decimals = len(digits.partition(".")[2])
        if (decimals or part.unit) and float(digits) == round(part.value, decimals):
            yield match[0]


def _names_only(text, right, wrong):
    text = text.casefold()
    return right.casefold() in text and not any(option.casefold() in text for option in wrong)
