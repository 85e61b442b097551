"""What an internal heat exchanger is, and what comes out."""

import math
from dataclasses import dataclass

from thermo_kit.substances import StatePoint, Stream
from thermo_kit.units import Amount, Said, Spec, one_of, quantity

VAPOUR_PATHS = ("inner tube", "annulus")
THINNEST_GAP = 0.0003


class ExchangerSpec(Spec):
    """A double tube: one stream in the inner tube, the other the opposite way in the gap round it.

    Vapour flows in the "inner tube", with the liquid in the gap, or in the "annulus". Aluminium alloys conduct about
    160 W/(m K). The two ends of each stream together lose 1.5 dynamic pressures: a sharp entry and a sudden widening.

    References: Geometry. Loss coefficients 0.5 and 1.0: any hydraulics textbook, for example Cengel & Cimbala, chapter
        8.
    """

    length: float = quantity("length", 0.02, 5.0, "exchanger length")
    inner_diameter: float = quantity("length", 0.002, 0.04, "bore of the inner tube")
    wall_thickness: float = quantity("length", 0.0003, 0.005, "wall of the inner tube")
    outer_diameter: float = quantity("length", 0.003, 0.08, "bore of the outer tube")
    vapour_path: str = one_of(VAPOUR_PATHS, "vapour path", "inner tube")
    wall_conductivity: float = quantity("conductivity", 10.0, 400.0, "wall conductivity", 160.0)
    loss_coefficient: float = quantity("ratio", 0.0, 20.0, "loss coefficient of the ends", 1.5)

    def fit(self, checks):
        needed = self.tube_outside + 2 * THINNEST_GAP
        if self.outer_diameter < needed - 1e-9:
            checks.add(
                "bore of the outer tube",
                Amount(self.outer_diameter, "length", 2),
                Said("leaves no room round an inner tube of {} outside", Amount(self.tube_outside, "length", 2)),
                Said(
                    "it takes at least {}: were the two tubes swapped, or the wall counted once instead of twice?",
                    Amount(needed, "length", 2),
                ),
            )

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
class ExchangerResult:
    """A solved internal heat exchanger, SI.

    spec, liquid, vapour: what was asked; heat_flow: from liquid to vapour [W]; most_heat: what an endlessly long one
    would pass [W]; effectiveness: first divided by second; conductance: heat flow by mean temperature
    difference [W/K]; transfer_units: conductance by the smaller heat capacity flow [-];
    capacity_ratio: smaller by larger heat capacity flow; liquid_inlet, liquid_outlet, vapour_inlet,
    vapour_outlet: states; liquid_pressure_drop [Pa]; vapour_pressure_drop [Pa];
    liquid_coefficient, vapour_coefficient: mean film coefficients [W/(m² K)];
    position: from the condenser end [m]; liquid_temperature, vapour_temperature: at these places [K];
    energy_closure: largest disagreement of heat given, heat taken and heat through the wall, as a share;
    notes: what to keep in mind, in plain words
    """

    spec: ExchangerSpec
    liquid: Stream
    vapour: Stream
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
    position: tuple[float, ...]
    liquid_temperature: tuple[float, ...]
    vapour_temperature: tuple[float, ...]
    energy_closure: float
    notes: tuple = ()

    @property
    def outlets(self):
        """The liquid and the vapour stream on their way to the next part."""
        ends = ((self.liquid, self.liquid_outlet), (self.vapour, self.vapour_outlet))
        return tuple(stream.at(pressure=state.p, enthalpy=state.h) for stream, state in ends)
