"""What flows from one part to the next."""

import functools
from dataclasses import dataclass

from thermo_kit.errors import InputError
from thermo_kit.substances.refrigerant import Refrigerant, StatePoint


@functools.lru_cache(maxsize=1024)
def _state(refrigerant, pressure, enthalpy):
    """Kept, since several parts ask for the state of one stream, and a search asks for it at several flows."""
    return Refrigerant(refrigerant).at(p=pressure, h=enthalpy)


@dataclass(frozen=True, kw_only=True)
class Stream:
    """A refrigerant on its way between two parts; every part takes one and gives one.

    refrigerant: its name; pressure: absolute [Pa]; enthalpy [J/kg]; mass_flow [kg/s], None where the next part decides
    how much it takes, as a compressor or a valve does
    """

    refrigerant: str
    pressure: float
    enthalpy: float
    mass_flow: float | None = None

    @property
    def state(self) -> StatePoint:
        """The state at this place."""
        return _state(self.refrigerant, self.pressure, self.enthalpy)

    @property
    def flow(self):
        """The mass flow [kg/s], asked by a part that cannot decide it."""
        if self.mass_flow is None:
            raise InputError.about("mass flow", "is missing", "", "this part takes what comes: give it in kg/s")
        return self.mass_flow

    def at(self, *, pressure=None, enthalpy=None):
        """Return the same stream at another pressure or enthalpy; what is not named stays.

        Parameters
        ----------
        pressure : float, [Pa]. Absolute.
        enthalpy : float, [J/kg]. Specific.

        Returns: Stream. On its way to the next part.

        Notes: Data: nothing is computed.
        """
        p, h = self.pressure if pressure is None else pressure, self.enthalpy if enthalpy is None else enthalpy
        return Stream(refrigerant=self.refrigerant, pressure=p, enthalpy=h, mass_flow=self.mass_flow)


def stream_at(refrigerant, mass_flow=None, **properties):
    """Return a stream from any pair of properties.

    Parameters
    ----------
    refrigerant : str. Its name.
    mass_flow : float, [kg/s]. None where the next part decides how much it takes.
    properties : float. Two of those that `Refrigerant.at` takes, by name and in SI, such as p [Pa] and T [K].

    Returns: Stream. What enters the next part.

    Raises: OutOfRangeError. As `Refrigerant.at`.

    References: Equations of state named at `Refrigerant`.

    Examples
    --------
    >>> stream_at("R-134a", 0.02, p=292803, x=1.0).state.phase
    'two-phase'
    """
    fluid = Refrigerant(refrigerant)
    point = fluid.at(**properties)
    return Stream(refrigerant=fluid.name, pressure=point.p, enthalpy=point.h, mass_flow=mass_flow)
