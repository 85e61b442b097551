"""The belt-driven piston compressor: fixed displacement with a clutch, or a stroke that follows the low side."""

from dataclasses import dataclass

from thermo_kit.components.compressor import rpm
from thermo_kit.errors import NoSolutionError
from thermo_kit.laws.closure import closed
from thermo_kit.substances import Refrigerant, Stream
from thermo_kit.units import Spec, one_of, quantity, within_ranges

_EXPONENT = 1.1
"""Of the gas left in the clearance while it expands: near the isentropic one of R-134a vapour (memory)."""


class BeltCompressorSpec(Spec):
    """A piston compressor on the engine's belt; how it is held back: "clutch" or "displacement".

    clearance_share: room left above the piston, of the displacement; leak_slope: volumetric efficiency lost for each
    unit of pressure ratio beyond 1; the isentropic efficiency is taken as constant. Data of an invented machine.
    """

    displacement: float = quantity("displacement", 2e-5, 5e-4, "displacement", advice="150 cm³ is 150e-6 m³")
    control: str = one_of(("clutch", "displacement"), "control of the compressor")
    clearance_share: float = quantity("ratio", 0.0, 0.2, "clearance share", 0.04)
    leak_slope: float = quantity("ratio", 0.0, 0.2, "leakage for each unit of pressure ratio", 0.02)
    isentropic_efficiency: float = quantity("ratio", 0.2, 0.95, "isentropic efficiency", 0.62)
    heat_loss_coefficient: float = quantity("conductance", 0.0, 50.0, "heat loss coefficient", 4.0)
    lowest_speed: float = quantity("rotational_speed", rpm(100), rpm(5000), "lowest speed", rpm(500))
    highest_speed: float = quantity("rotational_speed", rpm(1000), rpm(12000), "highest speed", rpm(8000))


@dataclass(frozen=True, slots=True)
class BeltCompressorResult:
    """What a turning belt compressor does: outlet Stream; shaft_power, heat_loss [W]; volumetric_efficiency;
    discharge_temperature [K]; energy_closure [-]."""

    outlet: Stream
    shaft_power: float
    heat_loss: float
    volumetric_efficiency: float
    discharge_temperature: float
    energy_closure: float


def run_belt_compressor(spec, suction, *, discharge_pressure, speed, stroke_share=1.0, ambient_temperature=308.15):
    """Return flow, power and hot gas of a belt compressor that turns.

    Parameters
    ----------
    spec : BeltCompressorSpec. The machine.
    suction : Stream. At the suction port; it may be wet, and is then taken as a homogeneous mixture.
    discharge_pressure : float, [Pa]. Absolute, behind it.
    speed : float, [rad/s]. Of the shaft.
    stroke_share : float, [-]. Part of the full displacement that is used; it scales the flow.
    ambient_temperature : float, [K]. Of the air round it.

    Returns: BeltCompressorResult. All in SI. Raises NoSolutionError if the gas in the clearance fills the cylinder, or
        the balance does not close.

    References: Clearance volumetric efficiency 1 + c − c π^(1/n) and isentropic efficiency: any textbook of
        thermodynamics.

    Examples
    --------
    >>> from thermo_kit.substances.stream import stream_at
    >>> machine = BeltCompressorSpec(displacement=150e-6, control="clutch")
    >>> run = run_belt_compressor(machine, stream_at("R-134a", p=3e5, T=285.0), discharge_pressure=15e5, speed=150.0)
    >>> 0.6 < run.volumetric_efficiency < 0.8
    True
    """
    within_ranges(
        ("discharge pressure", discharge_pressure, 1e4, 3e7, "pressure"),
        ("speed of the compressor", speed, 0.0, 2000.0, "rotational_speed"),
        ("share of the stroke", stroke_share, 0.0, 1.0, "ratio"),
        ("air round the compressor", ambient_temperature, 223.15, 423.15, "temperature"),
    )
    fluid, gas = Refrigerant(suction.refrigerant), suction.state
    ratio = discharge_pressure / gas.p
    c = spec.clearance_share
    filled = 1.0 + c - c * ratio ** (1.0 / _EXPONENT) - spec.leak_slope * (ratio - 1.0)
    if filled < 0.03 or ratio < 1.0:
        advice = "a lower head pressure, a higher low side, or a sound compressor"
        told = "leaves no room for fresh gas in the cylinder"
        raise NoSolutionError.about("pressure ratio of the compressor", f"{ratio:.1f}", told, advice)
    flow = spec.displacement * stroke_share * speed / 6.283185307179586 * filled * gas.rho
    power = flow * (fluid.at(p=discharge_pressure, s=gas.s).h - gas.h) / spec.isentropic_efficiency
    hot = leaving = fluid.at(p=discharge_pressure, h=gas.h + power / flow)
    loss = 0.0
    for _ in range(3):
        loss = min(spec.heat_loss_coefficient * max(leaving.T - ambient_temperature, 0.0), 0.5 * power)
        leaving = fluid.at(p=discharge_pressure, h=hot.h - loss / flow)
    closure = (power - loss - flow * (leaving.h - gas.h)) / power
    closed(energy_of_the_compressor=closure)
    outlet = Stream(refrigerant=suction.refrigerant, pressure=discharge_pressure, enthalpy=leaving.h, mass_flow=flow)
    return BeltCompressorResult(outlet, power, loss, filled, leaving.T, closure)
