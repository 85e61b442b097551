"""Insulation between a high-voltage system and the vehicle's body: the whole is judged, not each part."""

from dataclasses import dataclass

from thermo_kit.units import Spec, one_of, quantity

OHM_PER_VOLT = {"alternating or both": 500.0, "direct only": 100.0}
"""Least insulation resistance by working voltage [ohm/V]: UN Regulation No. 100, 5.1.3."""


_OHMS = "in ohms: 2 MΩ is 2e6"


class InsulationSpec(Spec):
    """Parts of one high-voltage system, each with its insulation to the body, at its highest direct voltage.

    Notes: Definition.
    """

    voltage: float = quantity("voltage", 12.0, 1500.0, "working voltage", advice="class B ends at 1500 V direct")
    compressor: float = quantity("resistance", 1.0, 1e11, "insulation of the compressor", advice=_OHMS)
    others: float = quantity("resistance", 1.0, 1e11, "insulation of the other parts", advice=_OHMS)
    circuit: str = one_of(OHM_PER_VOLT, "circuit", "alternating or both")


@dataclass(frozen=True, kw_only=True, slots=True)
class InsulationResult:
    """How a high-voltage system stands against the least value.

    spec: what was asked; resistance [ohm]: of all parts together;
    least_resistance [ohm]: what the regulation asks for; ohm_per_volt [ohm/V]: what is there; leak_current [A]: that
    could flow through the body; passes: reaches the least value; weakest: "compressor" or "other parts"
    """

    spec: InsulationSpec
    resistance: float
    least_resistance: float
    ohm_per_volt: float
    leak_current: float
    passes: bool
    weakest: str


def judge_insulation(spec):
    """Return the insulation of a whole system and whether it reaches the least value.

    Parameters
    ----------
    spec : InsulationSpec. Voltage and parts.

    Returns: InsulationResult. All in SI.

    Notes: The parts lie side by side between system and body, so their conductances add. Where all alternating parts
        lie behind double insulation or in robust housings, the regulation lets 100 ohm/V do. It is a limit for approval
        of a vehicle; a maker's own limit for service may be far higher and goes first.

    References: UN Regulation No. 100, 5.1.3.1 and 5.1.3.2 (100 ohm/V direct, 500 ohm/V alternating or both).

    Examples
    --------
    >>> judge_insulation(InsulationSpec(voltage=400.0, compressor=1e6, others=1e6)).passes
    True
    """
    both = 1.0 / (1.0 / spec.compressor + 1.0 / spec.others)
    least = OHM_PER_VOLT[spec.circuit] * spec.voltage
    return InsulationResult(
        spec=spec,
        resistance=both,
        least_resistance=least,
        ohm_per_volt=both / spec.voltage,
        leak_current=spec.voltage / both,
        passes=both >= least * (1.0 - 1e-9),
        weakest="compressor" if spec.compressor < spec.others else "other parts",
    )
