"""Solve every vehicle of the depot over its charge and keep how much of its cooling is left, for the leak panel.

python .ci/keep_plateaus.py    after a change of the vehicle's model or of the depot's vehicles (a minute)
"""

from datetime import date

from thermo_kit.fleet import vehicle, vehicle_names
from thermo_kit.service.leak import PLATEAUS
from thermo_kit.systems.vehicle import Conditions, charge_curve
from thermo_kit.units import celsius

DAY = Conditions(ambient_temperature=celsius(38.0))
LOWEST, POINTS = 0.2, 33
HEAD = """\
# How much of its cooling each vehicle of the depot keeps as its charge goes down, by the whole-vehicle model.
# Made by .ci/keep_plateaus.py; the day: 38 °C outside, all else as usual. cooling: share of that at the label's charge,
# one for each of `charges`, shares of the label. Invented vehicles.
"""


def main():
    shares = [round(LOWEST + (1.0 - LOWEST) * i / (POINTS - 1), 3) for i in range(POINTS)]
    lines = [HEAD, f"made = {date.today()}", f"charges = {shares}", ""]
    for name in vehicle_names():
        spec = vehicle(name)
        results = charge_curve(spec, DAY, low=LOWEST, high=1.0, points=POINTS).results
        full = results[-1].cooling_capacity
        cooling = [round(one.cooling_capacity / full, 4) if one else 0.0 for one in results]
        lines += [f"[vehicle.{name}]", f'title = "{spec.title}"', f"cooling = {cooling}", ""]
    PLATEAUS.write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
