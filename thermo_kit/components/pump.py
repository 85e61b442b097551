"""The coolant pump: head against flow at any speed, the power it draws, and three ways in which it fails."""

from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.constants import GRAVITY
from thermo_kit.laws.roots import root
from thermo_kit.units import Amount, Checks, Said, Spec, one_of, quantity, within_ranges

PUMP_CONDITIONS = ("healthy", "dead", "reversed", "air-locked")
"""healthy; dead: the impeller stands still; reversed: fitted the wrong way round; air-locked: spins in air."""


class PumpSpec(Spec):
    """A centrifugal coolant pump by the two ends of its curve at full speed.

    Notes: The curve is a parabola where `linear_share` is 0, a straight line where it is 1. Best flow is taken as half
        the run-out flow. How much head a share of air costs differs from pump to pump; the linear rule here is a model
        of our own without a source. With 1 nothing is pumped.

    Examples
    --------
    >>> PumpSpec(shut_off_head=9.0, run_out_flow=0.5e-3).condition
    'healthy'
    """

    shut_off_head: float = quantity("head", 0.1, 100.0, "shut-off head of the pump")
    run_out_flow: float = quantity("volume_flow", 1e-6, 0.1, "run-out flow of the pump")
    linear_share: float = quantity("ratio", 0.0, 1.0, "straightness of the pump curve", 0.0)
    best_efficiency: float = quantity("ratio", 0.05, 0.9, "best efficiency of the pump", 0.40)
    motor_efficiency: float = quantity("ratio", 0.1, 1.0, "motor efficiency of the pump", 0.75)
    speed_share: float = quantity(
        "ratio", 0.0, 1.5, "pump speed share", 1.0, advice="a share of full speed: 80 % is 0.8"
    )
    condition: str = one_of(PUMP_CONDITIONS, "pump condition", "healthy")
    air_share: float = quantity("ratio", 0.0, 1.0, "air share of the pump", 1.0)

    @property
    def running_share(self):
        """Speed share of the impeller: 0 for a dead pump, by definition."""
        return 0.0 if self.condition == "dead" else self.speed_share

    @property
    def lift_share(self):
        """Share of the impeller's lift that is left with air in it, by definition."""
        return 1.0 - self.air_share if self.condition == "air-locked" else 1.0

    @property
    def turn(self):
        """Direction in which it pushes: by definition −1 fitted the wrong way round."""
        return -1.0 if self.condition == "reversed" else 1.0


@dataclass(frozen=True, slots=True)
class PumpResult:
    """A pump at one flow: volume_flow [m³/s], head [m], pressure_rise [Pa], efficiency [-] of the impeller,
    hydraulic_power, shaft_power and electric_power [W]."""

    spec: PumpSpec
    volume_flow: float
    head: float
    pressure_rise: float
    hydraulic_power: float
    efficiency: float
    shaft_power: float
    electric_power: float


def pump_head(spec, volume_flow):
    """Return the head of a pump and how fast it falls with flow; volume_flow [m³/s].

    Notes: Heads of flow against the pump's own direction follow the same curve continued; they are not measured data. A
        standing impeller resists with the falling part of its curve at full speed.

    References: Affinity laws: flow ~ speed, head ~ speed² (Cengel & Cimbala, Fluid Mechanics, chapter 14).

    Examples
    --------
    >>> pump = PumpSpec(shut_off_head=8.0, run_out_flow=4e-4, speed_share=0.5)
    >>> pump_head(pump, 0.0)[0]
    2.0
    """
    speed = spec.running_share
    share = spec.turn * volume_flow / spec.run_out_flow
    bent, straight = 1.0 - spec.linear_share, spec.linear_share
    # By the affinity law the straight part dies out with speed, but what stands still is still in the way.
    straight *= speed if speed > 0.0 else 1.0
    head = spec.lift_share * speed**2 - straight * share - bent * share * abs(share)
    # An air-locked impeller still stands in the way like a dead one, so only its lift is scaled.
    slope = -straight - 2.0 * bent * abs(share)
    return spec.turn * spec.shut_off_head * head, spec.shut_off_head / spec.run_out_flow * slope


def shaft_power(spec, volume_flow, density):
    """Return the power on the impeller's shaft, all of which ends as heat in the coolant.

    volume_flow [m³/s], density [kg/m³] → [W].

    Notes: Efficiency follows a parabola with its top at the best flow, the usual textbook sketch; at closed outlet this
        is its limit, not zero. A pump pushed backwards or beyond run-out is taken as at the end of its curve.

    References: Cengel & Cimbala, Fluid Mechanics, chapter 14: P = rho g Q H / eta; affinity laws, P ~ speed³.
    """
    speed = spec.running_share
    share = min(max(spec.turn * volume_flow / (speed * spec.run_out_flow), 0.0), 1.0) if speed > 0.0 else 0.0
    # rho g Q H / eta with the common factors of Q H and eta struck out, so that nothing is 0/0 at either end.
    lift = spec.lift_share * speed**3 * density * GRAVITY * spec.shut_off_head
    return lift * spec.run_out_flow * (1.0 + (1.0 - spec.linear_share) * share) / (4.0 * spec.best_efficiency)


def run_pump(spec, *, volume_flow, density):
    """Return head, pressure rise and power of a pump at one flow.

    Parameters
    ----------
    spec : PumpSpec. The pump.
    volume_flow : float, [m³/s]. Flow from inlet to outlet branch, −0.1 to 0.1.
    density : float, [kg/m³]. Density of the coolant, 500 to 2000.

    Returns: PumpResult. What the pump does there. Raises OutOfRangeError if flow or density are outside their range.

    References: As `pump_head` and `shaft_power`.

    Examples
    --------
    >>> pump = PumpSpec(shut_off_head=8.0, run_out_flow=4e-4)
    >>> round(run_pump(pump, volume_flow=2e-4, density=1000.0).head, 6)
    6.0
    """
    with Checks() as checks:
        checks.within("pump flow", volume_flow, -0.1, 0.1, kind="volume_flow")
        checks.within("coolant density", density, 500.0, 2000.0, kind="density")
    head = pump_head(spec, volume_flow)[0]
    hydraulic = density * GRAVITY * max(spec.turn * volume_flow, 0.0) * max(spec.turn * head, 0.0)
    shaft = shaft_power(spec, volume_flow, density)
    efficiency = hydraulic / shaft if shaft > 0.0 else 0.0
    rise = density * GRAVITY * head
    return PumpResult(spec, volume_flow, head, rise, hydraulic, efficiency, shaft, shaft / spec.motor_efficiency)


def operating_point(spec, loss, *, density):
    """Return the point where a pump gives exactly what its loop takes.

    Parameters
    ----------
    spec : PumpSpec. The pump, healthy or partly air-locked.
    loss : callable. Takes a volume flow [m³/s], returns the pressure loss [Pa] of the loop, rising with flow.
    density : float, [kg/m³]. Density of the coolant, 500 to 2000.

    Returns: PumpResult. The pump at that flow. Raises OutOfRangeError if the density is outside its range;
        NoSolutionError if the pump moves nothing, or the loss exceeds the shut-off head even without flow.

    References: Operating point of pump curve and system curve: Cengel & Cimbala, Fluid Mechanics, section 14-2.

    Examples
    --------
    >>> pump = PumpSpec(shut_off_head=8.0, run_out_flow=4e-4)
    >>> point = operating_point(pump, lambda flow: 4.903325e11 * flow**2, density=1000.0)
    >>> round(point.volume_flow * 1e4, 6)
    2.828427
    """
    within_ranges(("coolant density", density, 500.0, 2000.0, "density"))

    def surplus(flow):
        return density * GRAVITY * pump_head(spec, flow)[0] - loss(flow)

    if surplus(0.0) <= 0.0:
        lift = Amount(density * GRAVITY * pump_head(spec, 0.0)[0], "pressure_difference")
        advice = f"it is {spec.condition} at {100 * spec.running_share:.0f} % speed: raise its speed or mend it"
        told = "which is not above what the loop takes without flow"
        raise NoSolutionError.about("pump", Said("gives {} at closed outlet", lift), told, advice)
    flow = root(surplus, 0.0, 1.5 * spec.run_out_flow, what="flow of the pump", xtol=1e-16)
    return run_pump(spec, volume_flow=flow, density=density)
