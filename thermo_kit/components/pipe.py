"""Pipes, hoses, coils and cold plates: what pressure they take from the flow."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.units import Checks, Spec, count, quantity

LAMINAR_END = 2000.0
TURBULENT_START = 4000.0
_LN10 = math.log(10.0)


class PipeSpec(Spec):
    """A passage for coolant: a pipe, a hose, the channels of a coil or of a cold plate.

    `diameter` is the inner (hydraulic) one of each passage; `loss_coefficient` sums those of bends, inlets and outlets,
    on the velocity in the passage; `parallel` equal passages lie side by side; `open_share` is 1 without a kink.

    Examples
    --------
    >>> PipeSpec(length=1.0, diameter=0.019).parallel
    1
    """

    length: float = quantity("length", 0.001, 1000.0, "pipe length")
    diameter: float = quantity("length", 0.0005, 1.0, "pipe diameter")
    roughness: float = quantity("length", 0.0, 0.01, "pipe roughness", 2e-6)
    loss_coefficient: float = quantity("ratio", 0.0, 1e6, "pipe loss coefficient", 0.0)
    parallel: int = count(1, 1000, "parallel passages", 1)
    open_share: float = quantity(
        "ratio", 0.02, 1.0, "open share of a kinked hose", 1.0,
        advice="a share of the area from 0.02 to 1: close a hose fully by a valve position",
    )  # fmt: skip

    @property
    def area(self):
        """Open area of all passages [m²], by geometry."""
        return self.parallel * math.pi / 4.0 * self.diameter**2

    @property
    def volume(self):
        """Coolant held by all passages [m³], by geometry."""
        return self.area * self.length

    @property
    def total_loss_coefficient(self):
        """Loss coefficient with the kink's share in it, by the definition of `narrowing_loss`."""
        return self.loss_coefficient + narrowing_loss(self.open_share)


@dataclass(frozen=True, slots=True)
class PipeResult:
    """A pipe at one flow: volume_flow [m³/s], velocity [m/s], reynolds [-], regime in
    words, pressure_drop [Pa]."""

    spec: PipeSpec
    volume_flow: float
    velocity: float
    reynolds: float
    regime: str
    pressure_drop: float


def friction_factor(reynolds, relative_roughness):
    """Return the Darcy friction factor and its logarithmic slope; reynolds [-], relative_roughness [-].

    Notes: Between Re 2000 and 4000 the flow switches to and fro and no correlation is reliable; a cubic that meets both
        sides with their slopes keeps the curve smooth. Expect ±30 % there.

    References: Hagen-Poiseuille f = 64/Re; Colebrook 1939 solved by Clamond 2009 (through `fluids`).

    Examples
    --------
    >>> round(friction_factor(1000.0, 0.0)[0], 4)
    0.064
    >>> round(friction_factor(1e5, 0.001)[0], 4)
    0.0222
    """
    if reynolds <= LAMINAR_END:
        return 64.0 / reynolds, -1.0
    if reynolds >= TURBULENT_START:
        return _turbulent(reynolds, relative_roughness)
    return _between(reynolds, relative_roughness)


def _turbulent(reynolds, relative_roughness):
    from fluids.friction import friction_factor as from_library

    factor = from_library(reynolds, relative_roughness)
    root = 1.0 / math.sqrt(factor)
    share = 2.0 / _LN10 * 2.51 / reynolds / (relative_roughness / 3.7 + 2.51 / reynolds * root)
    return factor, -2.0 * share / (1.0 + share)


@functools.lru_cache(maxsize=1024)
def _bridge(relative_roughness):
    from scipy.interpolate import CubicHermiteSpline

    factor, log_slope = _turbulent(TURBULENT_START, relative_roughness)
    ends, slopes = (64.0 / LAMINAR_END, factor), (-64.0 / LAMINAR_END**2, log_slope * factor / TURBULENT_START)
    return CubicHermiteSpline((LAMINAR_END, TURBULENT_START), ends, slopes).c[:, 0].tolist()


def _between(reynolds, relative_roughness):
    a, b, c, d = _bridge(relative_roughness)
    x = reynolds - LAMINAR_END
    factor = ((a * x + b) * x + c) * x + d
    return factor, ((3.0 * a * x + 2.0 * b) * x + c) * reynolds / factor


def narrowing_loss(open_share):
    """Return the loss coefficient of a passage that is narrowed at one place; open_share [-] → [-].

    Notes: The jet narrows further behind a sharp edge; a smooth dent loses less. Turbulent flow.

    References: Borda-Carnot sudden expansion behind the jet, with Weisbach's contraction 0.62 + 0.38 s³ (as in Streeter
        and other hydraulics textbooks).

    Examples
    --------
    >>> narrowing_loss(1.0)
    0.0
    >>> round(narrowing_loss(0.5), 2)
    3.99
    """
    contraction = 0.62 + 0.38 * open_share**3
    return (1.0 / (contraction * open_share) - 1.0) ** 2


def pipe_flow(spec, *, volume_flow, density, viscosity):
    """Return what a passage takes from the flow.

    Parameters
    ----------
    spec : PipeSpec. The pipe, hose, coil or plate.
    volume_flow : float, [m³/s]. Flow through all parallel passages together, −1 to 1; the sign is the direction.
    density : float, [kg/m³]. Density of the fluid, 0.1 to 2000.
    viscosity : float, [Pa s]. Dynamic viscosity, 1e-6 to 10.

    Returns: PipeResult. Velocity, regime, pressure drop; it carries the sign of the flow. Raises OutOfRangeError if an
        argument is outside its range.

    References: Darcy-Weisbach with minor losses: Cengel & Cimbala, Fluid Mechanics, chapter 8.

    Examples
    --------
    >>> pipe = PipeSpec(length=60.0, diameter=0.05, roughness=2e-6)
    >>> result = pipe_flow(pipe, volume_flow=0.006, density=999.0, viscosity=1.138e-3)
    >>> result.regime, round(result.pressure_drop / 1e3)
    ('turbulent', 96)
    """
    with Checks() as checks:
        checks.within("pipe flow", volume_flow, -1.0, 1.0, kind="volume_flow")
        checks.within("density", density, 0.1, 2000.0, kind="density")
        checks.within("viscosity", viscosity, 1e-6, 10.0, kind="viscosity")
    velocity = volume_flow / spec.area
    reynolds = density * abs(velocity) * spec.diameter / viscosity
    loss = 0.0
    if reynolds > 0.0:
        factor = friction_factor(reynolds, spec.roughness / spec.diameter)[0]
        loss = factor * spec.length / spec.diameter + spec.total_loss_coefficient
    pressure_drop = loss * density * velocity * abs(velocity) / 2.0
    return PipeResult(spec, volume_flow, velocity, reynolds, flow_regime(reynolds), pressure_drop)


def flow_regime(reynolds):
    """Return the kind of flow in words; reynolds [-].

    References: Limits 2000 and 4000 as in the Moody chart.

    Examples
    --------
    >>> flow_regime(3000.0)
    'unsteady'
    """
    if reynolds < 1e-6:
        return "still"
    if reynolds <= LAMINAR_END:
        return "laminar"
    return "turbulent" if reynolds >= TURBULENT_START else "unsteady"
