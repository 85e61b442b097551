"""The scroll itself: what the pockets close in, how they compress it, and what leaks back."""

import math
from dataclasses import dataclass

from thermo_kit.errors import NoSolutionError, OutOfRangeError

MOST_STEPS = 40
TIGHT = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Pocket:
    """One pocket on its way from closing to opening.

    pressure, density, enthalpy, entropy, temperature: when it closes [Pa, kg/m³, J/kg, J/(kg K), K];
    volume_ratio [-]; opening_pressure [Pa]: reached by itself when it opens; opening_density [kg/m³];
    discharge_pressure [Pa]: in front of the discharge port; work [J/kg]: on the gas, flow work included;
    exponent [-]: of the curve p vⁿ between closing and opening
    """

    pressure: float
    density: float
    enthalpy: float
    entropy: float
    temperature: float
    volume_ratio: float
    opening_pressure: float
    opening_density: float
    discharge_pressure: float
    work: float
    exponent: float

    def pressure_at(self, share):
        """Return the pressure while the pocket shrinks, its volume a share of what it closed with.

        Parameters
        ----------
        share : float, [-]. From 1 down; beyond the opening the curve is continued.

        Returns: float, [Pa]. Pressure on the loss-free curve.

        Notes: Definition of the exponent.
        """
        return self.pressure * share**-self.exponent


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """A converged turn: flows [kg/s], powers [W], torque [N m], enthalpy in front of the hot end [J/kg]."""

    suction: object
    turns: float
    mass_flow: float
    leakage_flow: float
    gas_power: float
    shaft_power: float
    motor_power: float
    electric_power: float
    torque: float
    hot_enthalpy: float
    pocket: Pocket


def run_scroll(spec, suction, conditions, fluid):
    """Find the state of the gas in the closing pocket for which all balances hold.

    Notes: One unknown, the enthalpy in the closing pocket: losses and leaking gas warm what the port lets in. Its
        balance is nearly linear, so that secant steps need three to five rounds, and the last turn looked at is the
        answer.

    References: Lemort, doctoral thesis, University of Liege 2008 (the balances; there with a wall as a second unknown).
    """
    turns = conditions.speed / (2.0 * math.pi)
    drop = _port_drop(spec.displacement * turns * suction.rho, spec.suction_port_area, suction.rho)
    inside = suction.p - drop
    if inside < 0.6 * suction.p:
        taken = f"takes {drop / suction.p * 100:.0f} % of the pressure"
        raise NoSolutionError.about("suction port", taken, "", "less speed or a wider port")
    try:
        return _settle(_Turn(spec, conditions, fluid, suction, turns, inside))
    except OutOfRangeError as reason:
        raise too_hot() from reason


def _settle(turn):
    old = turn.suction.h + 0.02 * (2.0 if turn.spec.leakage_area else 1.0) * 1e5
    old_miss = turn.miss(old)
    new = old + old_miss
    for _ in range(MOST_STEPS):
        miss = turn.miss(new)
        if abs(miss) < TIGHT * 1e5:
            return turn.run
        slope = (miss - old_miss) / (new - old)
        old, old_miss = new, miss
        new -= miss / slope if slope < -0.1 else -0.5 * miss
    raise too_hot()


def too_hot():
    """Return the error for gas that leaks round and round until no data are left."""
    return NoSolutionError.about(
        "gas in the compressor",
        "warms up beyond the property data",
        "",
        "the pressure ratio is high or much leaks back: more speed or a lower discharge pressure",
    )


class _Turn:
    """Everything that follows from the enthalpy in the closing pocket."""

    def __init__(self, spec, conditions, fluid, suction, turns, inside):
        self.spec, self.conditions, self.fluid = spec, conditions, fluid
        self.suction, self.turns, self.inside = suction, turns, inside
        self.run = None

    def miss(self, enthalpy):
        """How far the warmed gas is from the enthalpy supposed [J/kg]."""
        spec, conditions = self.spec, self.conditions
        closed = self.fluid.at(p=self.inside, h=enthalpy)
        through = spec.displacement * self.turns * closed.rho
        pocket = _compress(spec, conditions, self.fluid, closed, through)
        hot = closed.h + pocket.work
        leak = _nozzle(spec.leakage_area, pocket, self.inside)
        flow = through - leak
        if flow < 0.05 * through:
            raise NoSolutionError.about(
                "leak", "eats up the flow", "", "more speed, tighter gaps or a lower pressure ratio"
            )
        gas = through * pocket.work
        shaft, motor, electric, torque = _drive(spec, conditions.speed, gas)
        warmed = (flow * self.suction.h + (electric - gas) + leak * hot) / through
        self.run = Run(
            suction=self.suction, turns=self.turns, mass_flow=flow, leakage_flow=leak, gas_power=gas, shaft_power=shaft,
            motor_power=motor, electric_power=electric, torque=torque, hot_enthalpy=hot, pocket=pocket,
        )  # fmt: skip
        return warmed - enthalpy


def _compress(spec, conditions, fluid, closed, through):
    """Loss-free to the built-in ratio, then at constant volume to the pressure behind the opening."""
    ratio = spec.built_in_volume_ratio
    opening = fluid.at(rho=closed.rho * ratio, s=closed.s)
    outside = conditions.discharge_pressure + _port_drop(through, spec.discharge_port_area, opening.rho)
    return Pocket(
        pressure=closed.p, density=closed.rho, enthalpy=closed.h, entropy=closed.s, temperature=closed.T,
        volume_ratio=ratio, opening_pressure=opening.p, opening_density=opening.rho, discharge_pressure=outside,
        work=opening.h - closed.h + (outside - opening.p) / opening.rho,
        exponent=math.log(opening.p / closed.p) / math.log(ratio),
    )  # fmt: skip


def _port_drop(flow, area, density):
    return (flow / area) ** 2 / (2.0 * density)


def _nozzle(area, pocket, low):
    """Loss-free nozzle flow from discharge to suction, choked where the pressure ratio is large."""
    k = max(pocket.exponent, 1.02)
    high = pocket.discharge_pressure
    density = pocket.density * (high / pocket.pressure) ** (1.0 / k)
    ratio = max(low / high, (2.0 / (k + 1.0)) ** (k / (k - 1.0)))
    term = 2.0 * k / (k - 1.0) * high * density * (ratio ** (2.0 / k) - ratio ** ((k + 1.0) / k))
    return area * math.sqrt(max(term, 0.0))


def _drive(spec, speed, gas_power):
    """Shaft, motor and inverter: what goes into each [W], and the torque [N m]."""
    shaft = gas_power + spec.friction_torque * speed
    torque = shaft / speed
    current = torque / spec.torque_constant
    motor = shaft + 3.0 * spec.phase_resistance * current**2 + spec.iron_loss * speed
    electric = motor * (1.0 + spec.inverter_loss_share) + spec.inverter_idle_loss
    return shaft, motor, electric, torque
