"""Questions that cannot be guessed: how long the right option is."""

import ast

from tests.house.notebooks import code_cells, text_of
from thermo_kit.course.keys import ChoiceKey

ASKING = {"quick", "quick_question"}


def choices_of_lesson(notebook):
    """Return (text, right option, wrong options) of each choice that a lesson's code declares in plain texts."""
    found = []
    for cell in code_cells(notebook):
        for call in ast.walk(ast.parse(text_of(cell))):
            if isinstance(call, ast.Call) and getattr(call.func, "id", "") in ASKING:
                declared = {keyword.arg: keyword.value for keyword in call.keywords}
                if "right" in declared:
                    wrong = [_plain(key) for key in declared["wrong"].keys]
                    found.append((_plain(call.args[-1]), _plain(declared["right"]), wrong))
    return found


def choices_of_key(key):
    """Return the same of an exercise's key."""
    return [(p.question, p.right, [m.value for m in p.mistakes]) for p in key.parts if isinstance(p, ChoiceKey)]


def right_is_longest(choices):
    """Texts of the questions whose right option is longer than each wrong one."""
    return [text for text, right, wrong in choices if len(right) > max(map(len, wrong))]


def _plain(node):
    """The text that a node of code writes; what is put in counts as four letters."""
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(_plain(part) for part in node.values)
    if isinstance(node, ast.BinOp):
        return _plain(node.left) + _plain(node.right)
    return "xxxx"
