"""How refrigerants are called here, and how CoolProp calls them."""

from thermo_kit.errors import UnknownNameError

ENGINE_NAMES = {"R-134a": "R134a", "R-1234yf": "R1234yf", "R-744": "CO2", "R-152a": "R152A", "R-290": "n-Propane"}
REFRIGERANT_NAMES = tuple(ENGINE_NAMES)
"""The refrigerants of the workbook."""


def canonical_name(name):
    """Return the workbook's spelling of a refrigerant's name.

    Parameters
    ----------
    name : str. For example "r134a", "R-134a", "CO2", "propane".

    Returns: str. One of `REFRIGERANT_NAMES`. Raises UnknownNameError if it is none of them.

    Notes: Words only: nothing is computed.

    Examples
    --------
    >>> canonical_name("r1234YF")
    'R-1234yf'
    """
    if name in REFRIGERANT_NAMES:
        return name
    plain = str(name).lower().replace("-", "").replace(" ", "").replace("_", "")
    plain = {"co2": "r744", "carbondioxide": "r744", "propane": "r290"}.get(plain, plain)
    for proper in REFRIGERANT_NAMES:
        if proper.lower().replace("-", "") == plain:
            return proper
    advice = "use one of " + ", ".join(REFRIGERANT_NAMES)
    raise UnknownNameError.about("refrigerant", repr(name), "is not in this workbook", advice)
