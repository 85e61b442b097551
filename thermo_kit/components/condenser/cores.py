"""Two invented cores of the depot's vehicles, to start from."""

import dataclasses

from thermo_kit.components.condenser.spec import CondenserSpec
from thermo_kit.components.fan import FanSpec
from thermo_kit.components.louvered_fins import FinSpec, fins_per_inch


def van_core():
    """Return the core of the depot's electric parcel van (R-1234yf); invented, sized like such cores are.

    Returns
    -------
    CondenserSpec
        36 tubes in 4 passes, receiver before the last pass, 20 fins per inch.

    Examples
    --------
    >>> van_core().tubes
    (15, 9, 6, 6)
    """
    return CondenserSpec(
        tubes=(15, 9, 6, 6), tube_length=0.60, ports=12, port_diameter=1.0e-3,
        fins=FinSpec(fin_density=fins_per_inch(20)), fan=FanSpec(free_flow=0.65, stall_pressure=230.0),
        receiver_after=3, front_resistance=180.0,
    )  # fmt: skip


def shuttle_bus_core():
    """Return the core of the depot's shuttle bus (R-134a); invented, sized like such cores are.

    Returns
    -------
    CondenserSpec
        58 tubes in 4 passes, receiver before the last pass, 18 fins per inch.

    Examples
    --------
    >>> sum(shuttle_bus_core().tubes)
    58
    """
    return CondenserSpec(
        tubes=(24, 16, 10, 8), tube_length=0.95, ports=14, port_diameter=1.3e-3,
        fins=FinSpec(fin_density=fins_per_inch(18), fin_depth=22e-3, tube_depth=22e-3, tube_height=2.0e-3),
        fan=FanSpec(free_flow=1.7, stall_pressure=280.0), receiver_after=3, front_resistance=30.0,
    )  # fmt: skip


def with_fin_density(spec, fin_density):
    """Return the same core with another number of fins.

    Parameters
    ----------
    spec : CondenserSpec
        The core.
    fin_density : float, [1/m]
        Fins along the tube; `fins_per_inch(16)` converts the trade's count.

    Returns
    -------
    CondenserSpec
        The changed core.

    Notes
    -----
    Geometry only: nothing is solved.

    Examples
    --------
    >>> round(with_fin_density(van_core(), fins_per_inch(16)).fins.fin_density)
    630
    """
    return dataclasses.replace(spec, fins=dataclasses.replace(spec.fins, fin_density=fin_density))
