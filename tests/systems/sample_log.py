"""Makes the invented sample log of the depot: `python -m tests.systems.sample_log` writes it anew.

Every line is a solved cycle; the trends over time are invented, and so is the small scatter of the instruments.
"""

import math
import random
from pathlib import Path

from thermo_kit.systems import CycleSpec, solve_cycle
from thermo_kit.units import atmosphere_pressure, celsius

SAMPLE = Path(__file__).parents[2] / "lessons" / "data" / "van_07_readings.csv"
ALTITUDE = 400.0
FAN_OFF, FAN_ON = 300.0, 400.0
HEAD = f"""\
# INVENTED DATA for training: no vehicle was measured. Every line follows from a solved cycle.
# vehicle: electric parcel van 07 of the invented depot, pulling down after standing in the sun
# The condenser fan drops out at {FAN_OFF:.0f} s and is back at {FAN_ON:.0f} s.
# refrigerant: R-1234yf
# altitude: {ALTITUDE:.0f} m
time [s],suction_pressure [bar(g)],discharge_pressure [bar(g)],suction_temperature [°C],\
discharge_temperature [°C],liquid_temperature [°C],evaporator_outlet_temperature [°C]
"""


def _fan_loss(time):
    """0 with the fan running, towards 1 while it stands; the condenser's own heat makes both ways slow."""
    if time < FAN_OFF:
        return 0.0
    grown = 1 - math.exp(-(min(time, FAN_ON) - FAN_OFF) / 45)
    return grown * math.exp(-max(0.0, time - FAN_ON) / 30)


def cycle_at(time):
    """The van's cycle at a moment of the invented run."""
    pulled_down = 1 - math.exp(-time / 170)
    loss = _fan_loss(time)
    spec = CycleSpec(
        refrigerant="R-1234yf",
        evaporating_temperature=celsius(15.0 - 12.5 * pulled_down + 4.0 * loss),
        condensing_temperature=celsius(57.0 - 8.5 * pulled_down + 16.0 * loss),
        superheat=11.0 - 4.0 * pulled_down - 1.5 * loss,
        subcooling=2.5 + 4.0 * pulled_down - 4.0 * loss,
        suction_line_temperature_rise=3.0 + 1.5 * pulled_down,
        isentropic_efficiency=0.66 + 0.05 * pulled_down - 0.05 * loss,
    )
    return solve_cycle(spec)


def sample_text():
    """The whole log as text."""
    chance = random.Random(7)
    lines = [HEAD]
    air = atmosphere_pressure(ALTITUDE)
    for time in range(0, 601, 10):
        cycle = cycle_at(float(time))
        one, two, _three, four, _five, six = (point.state for point in cycle.points)
        pressures = [(state.p - air) / 1e5 + chance.gauss(0, 0.008) for state in (one, two)]
        temperatures = [state.T - 273.15 + chance.gauss(0, 0.12) for state in (one, two, four, six)]
        cells = [f"{time}", *(f"{p:.2f}" for p in pressures), *(f"{t:.1f}" for t in temperatures)]
        lines.append(",".join(cells) + "\n")
    return "".join(lines)


if __name__ == "__main__":
    SAMPLE.parent.mkdir(parents=True, exist_ok=True)
    SAMPLE.write_text(sample_text(), encoding="utf-8")
