"""What a panel tells, as tests ask for it."""


def row(shown, label, column=0):
    """Return the text of one row that a panel or a description shows."""
    shown = getattr(shown, "description", shown)
    return {head: texts for head, *texts in shown.rows}[label][column]


def number(shown, label, column=0):
    """Return the number that a row begins with."""
    return float(row(shown, label, column).split()[0].replace("−", "-").replace(",", ""))
