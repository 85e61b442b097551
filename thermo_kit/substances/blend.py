"""Two refrigerants that have come together, and the inert gases of the workshop."""

from thermo_kit.errors import NoSolutionError, OutOfRangeError
from thermo_kit.substances.engine import coolprop, kept_state
from thermo_kit.substances.names import ENGINE_NAMES, canonical_name
from thermo_kit.units import within_ranges

COLDEST, HOTTEST = 243.15, 348.15
GASES = {"nitrogen": "Nitrogen", "air": "Air", "hydrogen": "Hydrogen", "helium": "Helium"}


class Blend:
    """A mixture of two refrigerants by mass, such as R-134a that got R-1234yf.

    Parameters
    ----------
    first, second : str. Names of refrigerants.
    second_fraction : float, [-]. Mass of the second by mass of both, 0 to 1; at the ends it is a pure substance.

    Raises
    ------
    UnknownNameError. If a name is not in the workbook.
    OutOfRangeError. If the fraction lies outside 0 to 1.

    References: Mixture model of Bell, J. Phys. Chem. Ref. Data 51 (2022) for R-1234yf with R-134a, as CoolProp has it.

    Examples
    --------
    >>> round(Blend("R-134a", "R-1234yf", 0.1).bubble_pressure(298.15) / 1e3)
    679
    """

    def __init__(self, first, second, second_fraction):
        within_ranges(("share of the second refrigerant", second_fraction, 0.0, 1.0, "percent"))
        self.names = canonical_name(first), canonical_name(second)
        if self.names[0] == self.names[1]:
            raise OutOfRangeError.about("blend", f"is {first} with itself", "", "name two different refrigerants")
        self.second_fraction = float(second_fraction)

    def bubble_pressure(self, T):
        """Return the pressure [Pa] at which the liquid begins to boil at T [K], −30 to 75 °C."""
        return self._pressure(T, 0.0)

    def dew_pressure(self, T):
        """Return the pressure [Pa] at which the vapour begins to condense at T [K], −30 to 75 °C."""
        return self._pressure(T, 1.0)

    def _pressure(self, T, quality):
        within_ranges(("temperature of the blend", T, COLDEST, HOTTEST, "temperature"))
        if self.second_fraction in (0.0, 1.0):
            state = kept_state("HEOS", ENGINE_NAMES[self.names[int(self.second_fraction)]])
        else:
            state = kept_state("HEOS", "&".join(ENGINE_NAMES[name] for name in self.names))
            state.set_mass_fractions([1.0 - self.second_fraction, self.second_fraction])
        try:
            state.update(coolprop().QT_INPUTS, quality, float(T))
        except ValueError:
            mixture = f"mixture of {' and '.join(self.names)}"
            advice = "choose a lower temperature, or R-134a with R-1234yf"
            raise NoSolutionError.about(mixture, "has no liquid and vapour here", "", advice) from None
        return state.p()


def molar_mass(name):
    """Return the molar mass of a refrigerant or of a gas of the workshop.

    Parameters
    ----------
    name : str. A refrigerant, or "nitrogen", "air", "hydrogen", "helium".

    Returns: float, [kg/mol]. Molar mass.

    References: Constants of the reference equations, as CoolProp has them.

    Examples
    --------
    >>> round(molar_mass("R-134a") * 1e3, 2)
    102.03
    """
    return kept_state("HEOS", _engine_name(name)).molar_mass()


def gas_density(name, *, p, T):
    """Return the density of a gas of the workshop, as a real gas.

    Parameters
    ----------
    name : str. "nitrogen", "air", "hydrogen", "helium".
    p : float, [Pa]. Absolute pressure, 10 Pa to 30 MPa.
    T : float, [K]. Temperature, −50 to 150 °C.

    Returns: float, [kg/m³]. Density.

    Raises: OutOfRangeError. Outside these ranges.

    References: Nitrogen: Span et al., J. Phys. Chem. Ref. Data 29 (2000), as CoolProp has it.

    Examples
    --------
    >>> round(gas_density("nitrogen", p=1e6, T=293.15), 2)
    11.52
    """
    within_ranges(("gas pressure", p, 10.0, 3e7, "pressure"), ("gas temperature", T, 223.15, 423.15, "temperature"))
    return _gas(name, coolprop().PT_INPUTS, p, T).rhomass()


def gas_pressure(name, *, density, T):
    """Return the pressure of a gas shut in at a density: what a gauge shows after the shop has warmed up.

    Parameters
    ----------
    name : str. "nitrogen", "air", "hydrogen", "helium".
    density : float, [kg/m³]. Mass by volume.
    T : float, [K]. Temperature, −50 to 150 °C.

    Returns: float, [Pa]. Absolute pressure.

    References: As `gas_density`.

    Examples
    --------
    >>> round(gas_pressure("nitrogen", density=gas_density("nitrogen", p=3.1e6, T=298.15), T=283.15) / 1e5, 2)
    29.33
    """
    return _gas(name, coolprop().DmassT_INPUTS, density, T).p()


def gas_viscosity(name, T):
    """Return the viscosity of a thin gas or vapour.

    Parameters
    ----------
    name : str. A refrigerant, or "nitrogen", "air", "hydrogen", "helium".
    T : float, [K]. Temperature.

    Returns: float, [Pa s]. Viscosity at low pressure.

    References: Correlations of the substances, as CoolProp has them; hydrogen and helium likewise.

    Examples
    --------
    >>> round(gas_viscosity("nitrogen", 293.15) * 1e6, 1)
    17.6
    """
    return _gas(name, coolprop().PT_INPUTS, 2e4, T).viscosity()


def _gas(name, inputs, first, second):
    state = kept_state("HEOS", _engine_name(name))
    state.update(inputs, float(first), float(second))
    return state


def _engine_name(name):
    return GASES.get(str(name)) or ENGINE_NAMES[canonical_name(name)]
