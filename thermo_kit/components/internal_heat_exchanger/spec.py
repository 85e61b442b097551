"""What an internal heat exchanger is, what flows through it, and what comes out."""

import math
from dataclasses import dataclass

from thermo_kit.substances.states import StatePoint
from thermo_kit.units import format_quantity
from thermo_kit.units.checks import Checks

VAPOUR_PATHS = ("inner tube", "annulus")
THINNEST_GAP = 0.0003


@dataclass(frozen=True, kw_only=True)
class ExchangerSpec:
    """A double tube: one stream in the inner tube, the other the opposite way in the gap round it.

    Parameters
    ----------
    length : float, [m]
        Length over which both streams touch the same wall, 0.02 to 5.
    inner_diameter : float, [m]
        Bore of the inner tube, 0.002 to 0.04.
    wall_thickness : float, [m]
        Of the inner tube, 0.0003 to 0.005.
    outer_diameter : float, [m]
        Bore of the outer tube, at least 0.6 mm more than the inner tube measures outside, up to 0.08.
    vapour_path : str
        "inner tube" (liquid in the gap) or "annulus" (liquid in the inner tube).
    wall_conductivity : float, [W/(m K)]
        Of the inner tube, 10 to 400; aluminium alloys have about 160.
    loss_coefficient : float, [-]
        Of the two ends of each stream together, 0 to 20; a sharp entry and a sudden widening have 1.5.

    Raises
    ------
    OutOfRangeError
        If a size is out of range, or the tubes do not fit into each other.

    References
    ----------
    Geometry. Loss coefficients 0.5 and 1.0: any hydraulics textbook, for example Cengel & Cimbala, chapter 8.
    """

    length: float
    inner_diameter: float
    wall_thickness: float
    outer_diameter: float
    vapour_path: str = "inner tube"
    wall_conductivity: float = 160.0
    loss_coefficient: float = 1.5

    def __post_init__(self):
        checks = Checks()
        advice = "leave the exchanger out of the cycle where there is none" if self.length == 0 else ""
        checks.within("exchanger length", self.length, 0.02, 5.0, kind="length", advice=advice)
        checks.within("bore of the inner tube", self.inner_diameter, 0.002, 0.04, kind="length")
        checks.within("wall of the inner tube", self.wall_thickness, 0.0003, 0.005, kind="length")
        checks.within("bore of the outer tube", self.outer_diameter, 0.003, 0.08, kind="length")
        checks.within("wall conductivity", self.wall_conductivity, 10.0, 400.0, kind="conductivity")
        checks.within("loss coefficient of the ends", self.loss_coefficient, 0.0, 20.0, kind="ratio")
        checks.one_of("vapour path", self.vapour_path, VAPOUR_PATHS)
        checks.raise_if_any()
        needed = self.tube_outside + 2 * THINNEST_GAP
        if self.outer_diameter < needed - 1e-9:
            checks.add(
                "bore of the outer tube",
                format_quantity(self.outer_diameter, "length", decimals=2),
                f"leaves no room round an inner tube of {format_quantity(self.tube_outside, 'length', decimals=2)} "
                "outside",
                f"it takes at least {format_quantity(needed, 'length', decimals=2)}: were the two tubes swapped, or "
                "the wall counted once instead of twice?",
            )
        checks.raise_if_any()

    @property
    def tube_outside(self):
        """Outer diameter of the inner tube [m]."""
        return self.inner_diameter + 2.0 * self.wall_thickness

    @property
    def tube_area(self):
        """Open area of the inner tube [m²]."""
        return 0.25 * math.pi * self.inner_diameter**2

    @property
    def gap_area(self):
        """Open area of the gap [m²]."""
        return 0.25 * math.pi * (self.outer_diameter**2 - self.tube_outside**2)


@dataclass(frozen=True, kw_only=True)
class ExchangerStreams:
    """The same refrigerant twice: warm from the condenser, cold from the evaporator.

    Parameters
    ----------
    refrigerant : str
        One of `thermo_kit.substances.REFRIGERANT_NAMES`.
    mass_flow : float, [kg/s]
        Of both streams, 0.0005 to 0.3.
    liquid_pressure : float, [Pa]
        Absolute, where the warm stream enters; it may lie above the critical pressure.
    vapour_pressure : float, [Pa]
        Absolute, where the cold stream enters, below the critical pressure.
    liquid_temperature : float, [K]
        Where the warm stream enters; None for liquid just at its bubble point.
    vapour_temperature : float, [K]
        Where the cold stream enters; None for vapour just at its dew point.
    """

    refrigerant: str
    mass_flow: float
    liquid_pressure: float
    vapour_pressure: float
    liquid_temperature: float | None = None
    vapour_temperature: float | None = None


@dataclass(frozen=True, kw_only=True)
class ExchangerResult:
    """A solved internal heat exchanger, SI.

    spec, streams: what was asked; heat_flow: from liquid to vapour [W]; most_heat: what an endlessly long one
    would pass [W]; effectiveness: first divided by second; conductance: heat flow by mean temperature
    difference [W/K]; transfer_units: conductance by the smaller heat capacity flow [-];
    capacity_ratio: smaller by larger heat capacity flow; liquid_inlet, liquid_outlet, vapour_inlet,
    vapour_outlet: states; liquid_pressure_drop [Pa]; vapour_pressure_drop [Pa];
    liquid_coefficient, vapour_coefficient: mean film coefficients [W/(m² K)];
    liquid_reynolds, vapour_reynolds: at the warm stream's and the cold stream's inlet [-];
    position: from the condenser end [m]; liquid_temperature, vapour_temperature: at these places [K];
    energy_closure: largest disagreement of heat given, heat taken and heat through the wall, as a share;
    notes: what to keep in mind, in plain words
    """

    spec: ExchangerSpec
    streams: ExchangerStreams
    heat_flow: float
    most_heat: float
    effectiveness: float
    conductance: float
    transfer_units: float
    capacity_ratio: float
    liquid_inlet: StatePoint
    liquid_outlet: StatePoint
    vapour_inlet: StatePoint
    vapour_outlet: StatePoint
    liquid_pressure_drop: float
    vapour_pressure_drop: float
    liquid_coefficient: float
    vapour_coefficient: float
    liquid_reynolds: float
    vapour_reynolds: float
    position: tuple[float, ...]
    liquid_temperature: tuple[float, ...]
    vapour_temperature: tuple[float, ...]
    energy_closure: float
    notes: tuple[str, ...] = ()
