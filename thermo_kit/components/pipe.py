"""Pipes, hoses, coils and cold plates: what pressure they take from the flow."""

import functools
import math
from dataclasses import dataclass

from thermo_kit.errors import Problem, UnknownNameError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.units.checks import Checks

LAMINAR_END = 2000.0
TURBULENT_START = 4000.0
FRICTION_LAWS = ("colebrook", "swamee-jain")
_LN10 = math.log(10.0)


@dataclass(frozen=True, kw_only=True)
class PipeSpec:
    """A passage for coolant: a pipe, a hose, the channels of a coil or of a cold plate.

    Parameters
    ----------
    length : float, [m]
        Length of each passage, 0.001 to 1000.
    diameter : float, [m]
        Inner (hydraulic) diameter, 0.0005 to 1.
    roughness : float, [m]
        Height of the wall's roughness, 0 to 0.01.
    loss_coefficient : float, [-]
        Sum of the loss coefficients of bends, inlets, outlets, 0 to 1e6, on the velocity in the passage.
    parallel : int
        Number of equal passages side by side, 1 to 1000.
    open_share : float, [-]
        Share of the area left open at a kink, 0.02 to 1 (1: no kink).

    Raises
    ------
    OutOfRangeError
        If a value is outside its range.

    Examples
    --------
    >>> PipeSpec(length=1.0, diameter=0.019).parallel
    1
    """

    length: float
    diameter: float
    roughness: float = 2e-6
    loss_coefficient: float = 0.0
    parallel: int = 1
    open_share: float = 1.0

    def __post_init__(self):
        checks = Checks()
        checks.within("pipe length", self.length, 0.001, 1000.0, kind="length")
        checks.within("pipe diameter", self.diameter, 0.0005, 1.0, kind="length")
        checks.within("pipe roughness", self.roughness, 0.0, 0.01, kind="length")
        checks.within("pipe loss coefficient", self.loss_coefficient, 0.0, 1e6, kind="ratio")
        checks.within("parallel passages", self.parallel, 1, 1000, kind="ratio")
        checks.within(
            "open share of a kinked hose",
            self.open_share,
            0.02,
            1.0,
            kind="ratio",
            advice="a share of the area from 0.02 to 1: close a hose fully by a valve position",
        )
        checks.raise_if_any()

    @property
    def area(self):
        """Open area of all passages [m²]."""
        return self.parallel * math.pi / 4.0 * self.diameter**2

    @property
    def volume(self):
        """Coolant held by all passages [m³]."""
        return self.area * self.length

    @property
    def total_loss_coefficient(self):
        """Loss coefficient with the kink's share in it."""
        return self.loss_coefficient + narrowing_loss(self.open_share)


@dataclass(frozen=True, slots=True)
class PipeResult:
    """A pipe at one flow: volume_flow [m³/s], velocity [m/s], reynolds [-], friction_factor [-] (Darcy), regime in
    words, pressure_drop [Pa], head_loss [m], pumping_power [W]."""

    spec: PipeSpec
    volume_flow: float
    velocity: float
    reynolds: float
    friction_factor: float
    regime: str
    pressure_drop: float
    head_loss: float
    pumping_power: float


def friction_factor(reynolds, relative_roughness, law="colebrook"):
    """Return the Darcy friction factor and its logarithmic slope; reynolds [-], relative_roughness [-].

    Notes
    -----
    Between Re 2000 and 4000 the flow switches to and fro and no correlation is reliable; a cubic that meets
    both sides with their slopes keeps the curve smooth. Expect ±30 % there.

    References
    ----------
    Hagen-Poiseuille f = 64/Re; Colebrook 1939 solved by Clamond 2009 (through `fluids`); Swamee & Jain 1976.

    Examples
    --------
    >>> round(friction_factor(1000.0, 0.0)[0], 4)
    0.064
    >>> round(friction_factor(1e5, 0.001)[0], 4)
    0.0222
    """
    if law not in FRICTION_LAWS:
        raise UnknownNameError(
            Problem("friction law", repr(law), "is not known", "use one of " + ", ".join(FRICTION_LAWS))
        )
    if reynolds <= LAMINAR_END:
        return 64.0 / reynolds, -1.0
    if reynolds >= TURBULENT_START:
        return _turbulent(reynolds, relative_roughness, law)
    return _between(reynolds, relative_roughness, law)


def _turbulent(reynolds, relative_roughness, law):
    if law == "swamee-jain":
        laminar_part = 5.74 * reynolds**-0.9
        inner = relative_roughness / 3.7 + laminar_part
        log = math.log10(inner)
        return 0.25 / log**2, 1.8 * laminar_part / (inner * _LN10 * log)
    factor = _fluids_friction()(reynolds, relative_roughness)
    root = 1.0 / math.sqrt(factor)
    share = 2.0 / _LN10 * 2.51 / reynolds / (relative_roughness / 3.7 + 2.51 / reynolds * root)
    return factor, -2.0 * share / (1.0 + share)


@functools.cache
def _fluids_friction():
    from fluids.friction import friction_factor as from_library

    return from_library


@functools.lru_cache(maxsize=1024)
def _bridge(relative_roughness, law):
    factor, log_slope = _turbulent(TURBULENT_START, relative_roughness, law)
    return factor, log_slope * factor / TURBULENT_START


def _between(reynolds, relative_roughness, law):
    end, end_slope = _bridge(relative_roughness, law)
    start, start_slope = 64.0 / LAMINAR_END, -64.0 / LAMINAR_END**2
    span = TURBULENT_START - LAMINAR_END
    t = (reynolds - LAMINAR_END) / span
    factor = (
        (1 + 2 * t) * (1 - t) ** 2 * start
        + t * (1 - t) ** 2 * span * start_slope
        + t * t * (3 - 2 * t) * end
        - t * t * (1 - t) * span * end_slope
    )
    slope = 6 * t * (t - 1) * (start - end) / span + (1 - t) * (1 - 3 * t) * start_slope + t * (3 * t - 2) * end_slope
    return factor, slope * reynolds / factor


def narrowing_loss(open_share):
    """Return the loss coefficient of a passage that is narrowed at one place; open_share [-] → [-].

    Notes
    -----
    The jet narrows further behind a sharp edge; a smooth dent loses less. Turbulent flow.

    References
    ----------
    Borda-Carnot sudden expansion behind the jet, with Weisbach's contraction 0.62 + 0.38 s³ (as in Streeter
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


def pipe_flow(spec, *, volume_flow, density, viscosity, law="colebrook"):
    """Return what a passage takes from the flow.

    Parameters
    ----------
    spec : PipeSpec
        The pipe, hose, coil or plate.
    volume_flow : float, [m³/s]
        Flow through all parallel passages together, −1 to 1; the sign is the direction.
    density : float, [kg/m³]
        Density of the fluid, 0.1 to 2000.
    viscosity : float, [Pa s]
        Dynamic viscosity, 1e-6 to 10.
    law : str
        Friction law of turbulent flow, one of `FRICTION_LAWS`.

    Returns
    -------
    PipeResult
        Velocity, regime, pressure drop, power lost; drops carry the sign of the flow.

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    References
    ----------
    Darcy-Weisbach with minor losses: Cengel & Cimbala, Fluid Mechanics, chapter 8.

    Examples
    --------
    >>> pipe = PipeSpec(length=60.0, diameter=0.05, roughness=2e-6)
    >>> result = pipe_flow(pipe, volume_flow=0.006, density=999.0, viscosity=1.138e-3)
    >>> result.regime, round(result.pressure_drop / 1e3)
    ('turbulent', 96)
    """
    checks = Checks()
    checks.within("pipe flow", volume_flow, -1.0, 1.0, kind="volume_flow")
    checks.within("density", density, 0.1, 2000.0, kind="density")
    checks.within("viscosity", viscosity, 1e-6, 10.0, kind="viscosity")
    checks.raise_if_any()
    velocity = volume_flow / spec.area
    reynolds = density * abs(velocity) * spec.diameter / viscosity
    if reynolds > 0.0:
        factor = friction_factor(reynolds, spec.roughness / spec.diameter, law)[0]
        loss = factor * spec.length / spec.diameter + spec.total_loss_coefficient
    else:
        factor = loss = 0.0
    pressure_drop = loss * density * velocity * abs(velocity) / 2.0
    return PipeResult(
        spec=spec,
        volume_flow=volume_flow,
        velocity=velocity,
        reynolds=reynolds,
        friction_factor=factor,
        regime=flow_regime(reynolds),
        pressure_drop=pressure_drop,
        head_loss=pressure_drop / (density * GRAVITY),
        pumping_power=pressure_drop * volume_flow,
    )


def flow_regime(reynolds):
    """Return the kind of flow in words; reynolds [-].

    References
    ----------
    Limits 2000 and 4000 as in the Moody chart.

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
