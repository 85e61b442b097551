"""Which pressure the charge of the bulb builds up at a temperature."""

from thermo_kit.substances import Refrigerant

CROSS_SHARE = 0.90
CROSS_TEMPERATURE = 283.15
_LIQUID_MARGIN = 1.0


def bulb_pressure(spec, *, refrigerant, bulb_temperature):
    """Return the pressure in the bulb, above the diaphragm.

    Parameters
    ----------
    spec : ValveSpec
        The valve with its charge.
    refrigerant : str
        The system's refrigerant.
    bulb_temperature : float, [K]
        Of the bulb.

    Returns
    -------
    float, [Pa]
        Absolute pressure; rises with the temperature.

    Notes
    -----
    "same refrigerant": the saturation pressure, since liquid is always left. "cross charge": an approximation of our
    own, a line 10 % flatter than the refrigerant's, which it meets at 10 °C; the fluids makers fill in are their
    secret.
    "gas charge": saturation up to the temperature at which the last drop evaporates, from there an ideal gas in a fixed
    volume.

    References
    ----------
    Charge types: ASHRAE Handbook Refrigeration, chapter on refrigerant-control devices (from memory). Fixed volume of
    gas: ideal gas law.

    Examples
    --------
    >>> from thermo_kit.components.expansion_valve import van_valve
    >>> round(bulb_pressure(van_valve(), refrigerant="R-134a", bulb_temperature=273.15))
    292803
    """
    fluid = Refrigerant(refrigerant)
    if spec.charge == "gas charge":
        limit = min(spec.charge_limit_temperature, fluid.critical_temperature - _LIQUID_MARGIN)
        if bulb_temperature > limit:
            return fluid.dew_pressure(limit) * bulb_temperature / limit
    # A bulb hotter than critical holds no liquid either; its gas follows the same law.
    hottest = fluid.critical_temperature - _LIQUID_MARGIN
    inside = max(min(bulb_temperature, hottest), fluid.lowest_temperature)
    pressure = fluid.dew_pressure(inside) * (bulb_temperature / hottest if bulb_temperature > hottest else 1.0)
    if spec.charge == "cross charge":
        meet = fluid.dew_pressure(CROSS_TEMPERATURE)
        return meet + CROSS_SHARE * (pressure - meet)
    return pressure
