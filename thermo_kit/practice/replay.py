"""Many answers counted at once, for a record of which nothing is counted yet.

The library `fsrs` counts one answer after the other, too slowly for hundreds of thousands. Here its formulas (FSRS 6,
https://github.com/open-spaced-repetition/awesome-fsrs/wiki/The-Algorithm) take the first answers to all questions
together, then the second ones, and so on. A test holds that both give the same.
"""

import numpy as np
from fsrs.scheduler import MAX_DIFFICULTY, MIN_DIFFICULTY, STABILITY_MIN

AGAIN, GOOD, EASY = 1, 3, 4
DAY = 86_400_000
"""A day [ms]."""
# With fewer questions at a time the library itself is as fast.
FEWEST = 16


def histories_of(questions, right, at):
    """Sort answers by their question: question → (right, when [s since 1970], places among all); at: aware times."""
    index = {}
    codes = np.array([index.setdefault(question, len(index)) for question in questions], dtype=int)
    order, ends = np.argsort(codes, kind="stable"), np.cumsum(np.bincount(codes, minlength=len(index)))[:-1]
    right, seconds = np.array(right, dtype=bool)[order], np.array([one.timestamp() for one in at])[order]
    return dict(
        zip(index, zip(*(np.split(column, ends) for column in (right, seconds, order)), strict=True), strict=False)
    )


def begin_together(histories, weights):
    """Count answers from nothing, all but the last of each question, for as long as many questions have one.

    weights: the library's 21 numbers → question → (how many are counted, stability [d], difficulty, last [s])
    """
    names = sorted(histories, key=lambda name: -len(histories[name][0]))
    lengths = np.array([len(histories[name][0]) - 1 for name in names])
    if len(names) < FEWEST or not lengths[FEWEST - 1]:
        return {}
    w = np.array(weights)
    starts = np.concatenate(([0], np.cumsum(lengths + 1)[:-1]))
    rights = np.concatenate([histories[name][0] for name in names])
    times = np.concatenate([np.rint(1e3 * histories[name][1]).astype(int) for name in names])
    s, d, last = np.empty(len(names)), np.empty(len(names)), np.zeros(len(names), dtype=int)
    counted = np.minimum(lengths, lengths[FEWEST - 1])
    for step in range(lengths[FEWEST - 1]):
        # The longest stand first: those that have so many answers are a part at the beginning.
        some = slice(int(np.searchsorted(-lengths, -step)))
        rating = np.where(rights[starts[some] + step], GOOD, AGAIN)
        # A clock that was set back does not make a memory younger than it is.
        at = np.maximum(times[starts[some] + step], last[some])
        if step:
            s[some] = _next_stability(w, s[some], d[some], rating, (at - last[some]) // DAY)
            moved = d[some] - (10 - d[some]) * w[6] * (rating - GOOD) / 9
            d[some] = w[7] * _first_difficulty(w, EASY) + (1 - w[7]) * moved
        else:
            s[some], d[some] = w[rating - 1], _first_difficulty(w, rating)
        s[some], d[some] = np.maximum(s[some], STABILITY_MIN), np.clip(d[some], MIN_DIFFICULTY, MAX_DIFFICULTY)
        last[some] = at
    columns = zip(counted.tolist(), s.tolist(), d.tolist(), (last / 1e3).tolist(), strict=True)
    return {name: row for name, row in zip(names, columns, strict=True) if row[0]}


def _first_difficulty(w, rating):
    return w[4] - np.exp(w[5] * (rating - 1)) + 1


def _next_stability(w, s, d, rating, days):
    is_right = rating == GOOD
    growth = np.exp(w[17] * (rating - GOOD + w[18])) * s ** -w[19]
    same_day = s * np.where(is_right, np.maximum(growth, 1), growth)
    kept = (1 + (0.9 ** (-1 / w[20]) - 1) * days / s) ** -w[20]
    lapsed = w[11] * d ** -w[12] * ((s + 1) ** w[13] - 1) * np.exp((1 - kept) * w[14])
    forgotten = np.minimum(lapsed, s / np.exp(w[17] * w[18]))
    recalled = s * (1 + np.exp(w[8]) * (11 - d) * s ** -w[9] * (np.exp((1 - kept) * w[10]) - 1))
    return np.where(days < 1, same_day, np.where(is_right, recalled, forgotten))
