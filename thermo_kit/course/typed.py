"""Numbers as learners type them."""

from thermo_kit.errors import Problem, UnitError


def read_number(text, unit, altitude=0):
    """The SI value of a text such as "35 psi".

    Parameters
    ----------
    text : str
        a number, alone or with a unit
    unit : str
        the unit meant when the text gives none
    altitude : float, [m]
        height of the place, for gauge units

    Returns
    -------
    float, [SI unit of the kind]
        the number

    Raises
    ------
    UnitError
        when it is no number of that kind, or a gauge reading where an absolute pressure is asked for
    """
    from thermo_kit.units import parse_quantity, says_gauge

    if unit.endswith(" abs") and says_gauge(text):
        told = "is a gauge reading, where the absolute pressure is asked for"
        raise UnitError(Problem("your answer", repr(str(text)[:60]), told, f"give it in {unit}"))
    return parse_quantity(str(text), unit, altitude, argument="your answer")


def number_in(unit, value, altitude=0):
    """The number that a stored value has in a unit.

    Parameters
    ----------
    unit : str
        the unit asked for
    value : float, [SI unit of the kind]
        from `read_number`
    altitude : float, [m]
        height of the place, for gauge units

    Returns
    -------
    float, [unit asked for]
        the number

    Examples
    --------
    >>> round(number_in("bar", 145000.0), 6)
    1.45
    """
    # From nothing and one of the unit: a number that is sought may itself be one that nobody could measure.
    zero, one = read_number("0", unit, altitude), read_number("1", unit, altitude)
    return (value - zero) / (one - zero)
