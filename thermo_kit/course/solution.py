"""A worked solution as a piece of a page."""

import re

from thermo_kit.course.described import escape

ANCHOR = re.compile(r'<a class="anchor-link".*?</a>')
HEADING = re.compile(r"(</?)h[1-6]\b")


def solution_html(steps):
    """The worked solution as HTML, without any outside reference.

    Parameters
    ----------
    steps : sequence of WorkedStep
        from an answers notebook

    Returns
    -------
    str
        HTML
    """
    from nbconvert.filters import markdown2html

    parts = []
    for step in steps:
        if step.kind == "text":
            # Inside a panel a heading is a small one, and nothing links to it.
            parts.append(HEADING.sub(r"\1h4", ANCHOR.sub("", markdown2html(step.text))))
        else:
            parts.append(f'<pre style="padding:4px 8px;border-left:3px solid currentColor">{escape(step.text)}</pre>')
    inside = "\n".join(parts)
    return f'<div role="region" aria-label="Worked solution" style="max-width:46em;line-height:1.45">{inside}</div>'
