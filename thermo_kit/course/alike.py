"""Which texts are alike: a hint to look at them, never a verdict.

Source: A. Z. Broder, "On the resemblance and containment of documents", Compression and Complexity of Sequences
1997, pp. 21-29: the share of runs of w words ("shingles") that two texts have in common. Memory.
"""

import itertools
import re
from collections import Counter, defaultdict

# Three words in a row, half of the runs shared, at least six words: common practice, no source.
RUN, SHARE, LEAST_WORDS = 3, 0.5, 6


def alike_texts(texts):
    """Pairs of names whose texts are alike, as (share, names), the most alike first; texts: name → text."""
    owners = defaultdict(list)
    for name, text in texts.items():
        words = re.findall(r"\w+", text.casefold())
        if len(words) >= LEAST_WORDS:
            owners[tuple(words)].append(name)
    runs = [frozenset(zip(*(words[i:] for i in range(RUN)), strict=False)) for words in owners]
    holders, names = defaultdict(list), list(owners.values())
    for number, each in enumerate(runs):
        for run in each:
            holders[run].append(number)
    found = [(1.0, pair) for group in names for pair in itertools.combinations(sorted(group), 2)]
    # Only texts that share a run are compared at all.
    shared = Counter(pair for numbers in holders.values() for pair in itertools.combinations(numbers, 2))
    for (one, other), common in shared.items():
        share = common / (len(runs[one]) + len(runs[other]) - common)
        if share >= SHARE:
            found += [(share, tuple(sorted(pair))) for pair in itertools.product(names[one], names[other])]
    return sorted(found, key=lambda pair: (-pair[0], pair[1]))
