"""The sheet a customer is given: what is done and why, the range, what is not known yet, and the precautions."""

import re
from dataclasses import dataclass
from html import escape, unescape

from thermo_kit.service.estimate import FLUSH, INSPECT, REPLACE

PRECAUTIONS = (
    "High voltage: only trained, authorised people shut the vehicle down, lock it and measure it dead.",
    "Refrigerant is recovered by certified people into a marked cylinder. It is never let out into the air.",
    "Burnt oil can hold acid: gloves and goggles. Old oil and parts go to the collecting point for hazardous waste.",
    "The vehicle maker's procedure and local rules come before this sheet.",
)
_LEFT = '<td style="text-align:left">'
_HEADINGS = {REPLACE: "Changed", FLUSH: "Flushed", INSPECT: "Only checked", "do": "Work on every such job"}
_STYLE = (
    "body{font:11pt sans-serif;max-width:18cm;margin:1cm auto;color:#111}table{border-collapse:collapse;width:100%}"
    "td,th{border-bottom:1px solid #999;padding:3px 6px;text-align:left;vertical-align:top}h1{font-size:16pt}"
    ".range{font-size:14pt;border:2px solid #111;padding:6px 10px}@page{size:A4;margin:1.5cm}"
)


@dataclass(frozen=True)
class CustomerSheet:
    """A sheet for the customer. title; body: HTML without style, every given text escaped."""

    title: str
    body: str

    @property
    def page(self):
        """The sheet as one whole HTML page that prints on paper.

        Returns: str. Without outside references.
        """
        head = f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>{escape(self.title)}</title>'
        return f"{head}<style>{_STYLE}</style></head><body>{self.body}</body></html>"

    def _repr_html_(self):
        return self.body

    def __repr__(self):
        lines = re.sub(r"</(?:p|h1|h2|tr|li)>", "\n", self.body)
        return unescape(re.sub(r"<[^>]+>", "", lines.replace(f"</td>{_LEFT}", ": "))).strip()


def estimate_sheet(estimate, *, vehicle, day="", workshop="Depot workshop", words=""):
    """Write an estimate as a sheet that a customer understands and that prints on paper.

    Parameters
    ----------
    estimate : Estimate. Scope and range.
    vehicle, day, workshop, words : str
        Shown as text: which vehicle, the date, who writes, and what the customer has told.

    Returns: CustomerSheet. `page`: the whole HTML page without outside references; every text given is escaped.

    Notes: Amounts are rounded to ten, so that nobody takes them for exact.

    References: None: it tells what the estimate holds.

    Examples
    --------
    >>> from thermo_kit.service import RepairSpec, estimate_repair
    >>> sheet = estimate_repair(RepairSpec(failure="open to the air for weeks", draws=500))
    >>> "<b>" in estimate_sheet(sheet, vehicle="<b>van</b>").page
    False
    """
    money = f"{escape(estimate.currency)} "
    parts = [
        f"<h1>{escape(workshop)}: what the repair may cost</h1>",
        f"<p>Vehicle: {escape(vehicle)}{f' · Date: {escape(day)}' if day else ''}</p>",
        f"<p>You told us: {escape(words)}</p>" if words else "",
        f"<p>What we found: {escape(estimate.spec.failure)}.</p>",
        f'<p class="range">Most likely about {money}{_round(estimate.likely)}. In eight of ten such jobs between '
        f"{money}{_round(estimate.low)} and {money}{_round(estimate.high)}. "
        f"Tax of {estimate.tax * 100:.0f} % is in it.</p>",
    ]
    for action, heading in _HEADINGS.items():
        rows = "".join(
            f"<tr>{_LEFT}{escape(named(line.item))}</td>{_LEFT}{escape(line.why)}</td></tr>"
            for line in estimate.lines
            if line.action == action
        )
        if rows:
            parts.append(f"<h2>{heading}</h2><table>{rows}</table>")
    driver, share = estimate.drivers[0]
    parts.append(
        "<h2>What nobody can know before opening</h2><ul>"
        f"<li>About {share * 100:.0f} % of the spread comes from one item: {escape(named(driver))}.</li>"
        "<li>A part that is only checked may have to be changed. We call you before we go on.</li>"
        "<li>One job in ten costs more than the upper figure.</li></ul>"
        "<h2>Precautions</h2><ul>" + "".join(f"<li>{escape(one)}</li>" for one in _precautions(estimate)) + "</ul>"
        "<p>This is an estimate and no offer. Prices are drawn from a list; ask for the list.</p>"
        "<p>Date and name of the customer: ______________________</p>"
    )
    return CustomerSheet(f"Estimate, {vehicle}", "".join(parts))


def named(item):
    """Return an item of a scope in words."""
    return item.replace("_", " ")


def _precautions(estimate):
    return PRECAUTIONS if estimate.spec.electric else PRECAUTIONS[1:]


def _round(amount):
    return f"{round(amount, -1):,.0f}"
