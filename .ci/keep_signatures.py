"""Solve every vehicle of the depot under every fault and keep what it shows, for panels and keys that must be quick.

python .ci/keep_signatures.py    after a change of the vehicle's model, its faults or the depot's vehicles (minutes)
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace

import numpy as np

from thermo_kit.fleet import vehicle, vehicle_names
from thermo_kit.service.diagnosis import SEVERITIES, solved_faults, value_of
from thermo_kit.service.kept import AMBIENTS, FILE, day_at
from thermo_kit.systems.vehicle import solve_vehicle


def unknowns(spec, day):
    """Yield (vehicle, day) with one thing each that is unknown about somebody's own vehicle; sizes are our choice."""
    yield spec, replace(day, fan_speed_share=1.15)
    yield spec, replace(day, compressor_speed=1.25 * spec.usual_speed)
    yield spec, replace(day, cabin_temperature=day.cabin_temperature + 4.0)
    yield spec, replace(day, recirculated_share=0.4)
    yield spec, replace(day, relative_humidity=0.6)
    yield spec, replace(day, blower_share=0.65)
    fins = replace(spec.condenser.fins, fin_density=0.85 * spec.condenser.fins.fin_density)
    yield replace(spec, condenser=replace(spec.condenser, fins=fins)), day
    coil = spec.evaporator
    yield replace(spec, evaporator=replace(coil, air_conductance=0.8 * coil.air_conductance)), day
    yield replace(spec, hold_pressure=0.93 * spec.hold_pressure), day
    yield replace(spec, hot_air_return=0.08), day
    if spec.expansion_valve:
        valve = spec.expansion_valve
        yield replace(spec, expansion_valve=replace(valve, spring_preload=1.12 * valve.spring_preload)), day
    elif spec.orifice:
        yield replace(spec, orifice=replace(spec.orifice, diameter=1.04 * spec.orifice.diameter)), day
    else:
        valve = spec.electronic_valve
        yield replace(spec, electronic_valve=replace(valve, superheat_target=valve.superheat_target + 2.0)), day


def kept(name):
    """Return {key: array} of one vehicle: a row for the sound one, then a row for each fault and severity."""
    spec, days, effects, rows = vehicle(name), [], [], {}
    for ambient in AMBIENTS:
        day = day_at(ambient)
        names, sound, solved, _ = solved_faults(spec, day)
        days.append((sound, solved))
        near = solve_vehicle(spec, day)
        changed = [solve_vehicle(one, on, near=near) for one, on in unknowns(spec, day)]
        effects.append([[value_of(one, read) - value_of(near, read) for one in changed] for read in names])
        rows |= {(fault, severity): None for fault in solved for severity in SEVERITIES}
    nothing = [np.nan] * len(names)
    values = [
        [sound, *(dict(solved.get(fault, ())).get(severity, nothing) for fault, severity in rows)]
        for sound, solved in days
    ]
    return {
        f"{name}/refrigerant": np.array(spec.refrigerant),
        f"{name}/names": np.array(names),
        f"{name}/faults": np.array(["sound", *(fault for fault, _ in rows)]),
        f"{name}/severities": np.array([0.0, *(severity for _, severity in rows)], dtype=np.float32),
        f"{name}/values": np.array(values, dtype=np.float32),
        f"{name}/wide": np.array(effects, dtype=np.float32),
    }


def main():
    found = {}
    with ProcessPoolExecutor(max_workers=2) as pool:
        for name, one in zip(vehicle_names(), pool.map(kept, vehicle_names()), strict=True):
            found |= one
            print(name, one[f"{name}/values"].shape, file=sys.stderr)
    np.savez_compressed(FILE, **found)


if __name__ == "__main__":
    main()
