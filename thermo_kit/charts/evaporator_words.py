"""How the evaporator's pictures and tables put air, water and frost into words."""

from thermo_kit.units.look import percent

_WATER = 1000.0


def drip_text(condensate, look):
    """Write how much water drips off, by weight and by the cup under the drain; condensate [kg/s].

    Notes: One litre of water weighs one kilogram: true within half a per cent at these temperatures.
    """
    if condensate <= 0.0:
        return "none"
    return f"{look.text(condensate, 'drip_rate')} ({look.text(condensate / _WATER, 'drip_volume')})"


def frost_text(process, look):
    """Say how far the coldest fin is from frost."""
    margin = process.frost_margin
    text = look.text(abs(margin), "temperature_difference")
    if process.result.frost:
        return f"{text} below: frost"
    below = process.result.inlet.dew_point < 273.15
    return f"{text} above {'the frost point of the air' if below else 'freezing'}"


def fins_text(process):
    """Say which fins of the boiling part are wet."""
    if process.wet_from >= 1.0:
        return "the fins stay dry"
    if process.wet_from <= 0.0:
        return "the fins are wet from the front on"
    return f"the first {percent(process.wet_from)} of the depth stays dry, the rest is wet"
