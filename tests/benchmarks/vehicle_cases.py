"""A thousand vehicles as they are and a thousand with a fault: what is solved, and what is refused with which words.

Run it as a command: python -m tests.benchmarks.vehicle_cases [how many of each]
"""

import re
import sys
import time
from collections import Counter

from tests.systems.test_vehicle import cases
from thermo_kit.errors import ThermoKitError
from thermo_kit.systems import solve_vehicle


def main(count):
    """Solve them all and print how many, how long, and why not."""
    for faulty in (False, True):
        reasons, slowest, start = Counter(), 0.0, time.process_time()
        for spec, day, faults in cases(count, faulty):
            begun = time.process_time()
            try:
                solve_vehicle(spec, day, faults)
            except ThermoKitError as error:
                took = time.process_time() - begun
                slowest = max(slowest, took)
                reasons[f"{type(error).__name__}: " + re.sub(r"[-−]?\d[\d.,]*", "…", str(error))] += 1
                if "-v" in sys.argv:
                    named = ", ".join(f"{one.name} {one.severity:.2f}" for one in faults)
                    print(f"{took:.2f} s {spec.title}, {named}: {error}", flush=True)
        title, taken = "with a fault" if faulty else "sound", time.process_time() - start
        print(f"{title}: {count - reasons.total()} of {count} solved in {taken:.0f} s, slowest refusal {slowest:.1f} s")
        for words, often in reasons.most_common():
            print(f"  {often:4d}  {words}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
