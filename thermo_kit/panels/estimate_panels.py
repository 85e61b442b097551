"""Scope after a failure, what it may cost, and how the range narrows while the job goes on."""

import functools
import itertools
from collections import Counter

from thermo_kit.charts.estimate import money, narrowing_picture, range_picture
from thermo_kit.panels.frame import Description, shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, number, panel
from thermo_kit.service import RepairSpec, estimate_repair, range_so_far
from thermo_kit.service.customer_sheet import named
from thermo_kit.service.estimate import SCOPES
from thermo_kit.units.look import percent

KINDS = ("electric, with battery chiller", "electric, no chiller", "belt driven")
DRAWS = 4000


@functools.lru_cache(maxsize=64)
def _estimate(failure, kind, further_share=0.25, has_exchanger=False, accumulator=False):
    spec = RepairSpec(
        failure=failure, electric=kind != KINDS[2], has_chiller=kind == KINDS[0], has_exchanger=has_exchanger,
        accumulator=accumulator, further_share=further_share, draws=DRAWS,
    )  # fmt: skip
    return estimate_repair(spec)


@panel("What a failure reaches")
class ScopePanel:
    """Which part is changed, flushed or only checked, and why."""

    failure: str = choice("What has failed", next(iter(SCOPES)), SCOPES)
    kind: str = choice("Vehicle", KINDS[0], KINDS)
    exchanger: bool = choice("Internal heat exchanger", False, (("no", False), ("yes", True)))
    accumulator: bool = choice("Dryer", False, (("receiver", False), ("accumulator", True)))

    def describe(self, look):
        """List the scope."""
        sheet = _estimate(self.failure, self.kind, 0.25, self.exchanger, self.accumulator)
        picture = range_picture(sheet, look)
        rows = tuple((named(line.item), line.action, line.why) for line in sheet.lines)
        counts = Counter(line.action for line in sheet.lines)
        (told,) = texts_of("told of ScopePanel", look, counts=counts)
        sentence = f"{told} {picture.sentence}"
        return Description((picture,), sentence, rows, texts_of("repair", look), ("part or work", "action", "why"))


@panel("An honest range")
class EstimatePanel:
    """All draws of a job against a promise."""

    promise: float = number("Someone has promised", 8000.0, "ratio", 500.0, 15000.0, step=100.0, decimals=0)
    further_share: float = number(
        "Chance that a checked part must be changed", 0.25, "percent", of=RepairSpec, step=0.05
    )
    failure: str = choice("What has failed", next(iter(SCOPES)), SCOPES)
    kind: str = choice("Vehicle", KINDS[0], KINDS)

    def describe(self, look):
        """Say range and drivers."""
        sheet = _estimate(self.failure, self.kind, self.further_share)
        kept = sum(total <= self.promise for total in sheet.totals) / len(sheet.totals)
        low, likely, high = map(money, (sheet.low, sheet.likely, sheet.high))
        rows = (
            *rows_of("EstimatePanel", look, sheet, low=low, likely=likely, high=high, kept=kept),
            *((f"Of the spread: {named(name)}", percent(share)) for name, share in sheet.drivers[:4]),
        )
        return shows(range_picture(sheet, look, offer=self.promise), rows, texts_of("repair", look))


@panel("The range while the job goes on")
class NarrowingPanel:
    """One line of the scope after the other is settled while hours go by."""

    gone: float = number("Working hours gone by", 0.0, "ratio", 0.0, lambda now: now.pace, step=0.25, decimals=1)
    pace: float = choice("The slider runs over", 32.0, (("the whole job", 32.0), ("one working day", 8.0)))
    vehicle: str = choice("Vehicle on the lift", "S01", ("S01", "S02", "S03"))
    failure: str = choice("What has failed", "compressor burnt, no debris found", SCOPES)
    kind: str = choice("Vehicle is", KINDS[0], KINDS)

    def describe(self, look):
        """Say how far the range has closed."""
        sheet = _estimate(self.failure, self.kind)
        case = int(self.vehicle[1:]) * 11
        steps = [range_so_far(sheet, n, case=case) for n in range(len(sheet.parts) + 1)]
        ends = (0.0, *itertools.accumulate(line.hours[1] for line in sheet.lines))
        step = steps[max(i for i, end in enumerate(ends) if end <= self.gone + 1e-9)]
        picture = narrowing_picture(steps, ends, self.gone, look, currency=sheet.currency, last=self.pace)
        rows = rows_of(
            "NarrowingPanel", look, last=named(step.known[-1]) if step.known else "nothing yet",
            likely=money(step.likely), low=money(step.low), high=money(step.high), width=money(step.high - step.low),
            first=money(steps[0].high - steps[0].low),
        )  # fmt: skip
        return shows(picture, rows, texts_of("repair", look))

    def follow(self, changed):
        """Keep the hours on the slider."""
        return {"gone": min(self.gone, self.pace)} if changed == "pace" else {}
