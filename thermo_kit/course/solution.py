"""A worked solution as a piece of a page."""

from thermo_kit.course.described import escape


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
            parts.append(markdown2html(step.text))
        else:
            parts.append(f'<pre style="padding:4px 8px;border-left:3px solid currentColor">{escape(step.text)}</pre>')
    inside = "\n".join(parts)
    return f'<div role="region" aria-label="Worked solution" style="max-width:46em;line-height:1.45">{inside}</div>'
