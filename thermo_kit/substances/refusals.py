"""Why a refrigerant has no state or no saturation, in words; kept apart so that the physics stays readable."""

from thermo_kit.errors import OutOfRangeError
from thermo_kit.units import Amount, Said

_KIND_OF = {"p": "pressure", "T": "temperature", "h": "specific_enthalpy", "s": "specific_entropy", "rho": "density"}
_WORD_OF = {"p": "pressure", "T": "temperature", "h": "enthalpy", "s": "entropy", "rho": "density", "x": "quality"}


def _shown(name, value):
    return Amount(value, _KIND_OF[name]) if name in _KIND_OF else Amount(value, "ratio", 2)


def _refused(argument, name, value, low, high, advice):
    limit = Said("is outside {} to {}", _shown(name, low), _shown(name, high))
    return OutOfRangeError.about(argument, _shown(name, value), limit, advice)


def no_saturation(refrigerant, name, value, low, high):
    """Return the error for a pressure or temperature at which nothing boils.

    value [SI unit of the property], low [SI unit of the property], high [SI unit of the property]."""
    advice = "check the number, its unit and whether it is gauge or absolute"
    if value > high:
        advice = "above the critical point nothing boils or condenses at one temperature; " + advice
    return _refused(f"{refrigerant} saturation {_WORD_OF[name]}", name, value, low, high, advice)


def outside(refrigerant, name, value, low, high):
    """Return the error for one property outside its range.

    value [SI unit of the property], low [SI unit of the property], high [SI unit of the property]."""
    advice = "check the number and its unit; inside the package pressures are absolute pascal and temperatures kelvin"
    return _refused(f"{refrigerant} {_WORD_OF[name]}", name, value, low, high, advice)


def no_state(fluid, given, *, saturated):
    """Return the error for two properties that no state has."""
    if saturated:
        advice = "on the saturation line pressure and temperature do not fix the state: give the quality x instead"
    else:
        advice = "check both numbers and their units"
        if set(given) == {"p", "T"}:
            advice += "; this cold and under this pressure the refrigerant may be solid"
    shown = [Said("{} {}", _WORD_OF[name], _shown(name, value)) for name, value in sorted(given.items())]
    return OutOfRangeError.about(
        f"{fluid.name} state",
        Said("with {}, {}", *shown),
        Said(
            "lies outside the range {} to {}, up to {}, or does not exist",
            Amount(fluid.lowest_temperature, "temperature"), Amount(fluid.highest_temperature, "temperature"),
            Amount(fluid.highest_pressure, "pressure"),
        ),
        advice,
    )  # fmt: skip
