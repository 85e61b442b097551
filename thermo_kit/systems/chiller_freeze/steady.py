"""The steady state that a freeze case starts from."""

import numpy as np

from thermo_kit.errors import NoSolutionError, Problem

_ROUNDS = 60
_BEFORE = -1.0


def jacobian(rates, y, scale):
    """Return the derivative of rates, all columns in one call; y [SI], scale [SI] → [1/s]."""
    return _linear(rates, y, scale)[1]


def _linear(rates, y, scale):
    """Return the rates at a state and their derivative."""
    step = 1e-6 * np.maximum(np.abs(y), scale)
    columns = np.repeat(y[:, None], len(y) + 1, axis=1)
    each = np.arange(len(y))
    columns[each, each + 1] += step
    values = rates(columns)
    return values[:, 0], (values[:, 1:] - values[:, :1]) / step


def settled(model):
    """Return the steady state of a chiller with its pump running; → [SI]."""
    from thermo_kit.systems.chiller_freeze.parts import Mode

    y = _guess(model)
    mode = Mode(1.0, True)

    def rates(columns):
        return model.rates(_BEFORE, columns, mode)

    active = model.size - 3
    # Implicit steps that grow: a march in time which forgets the way and keeps the end.
    step = 0.5
    for _ in range(_ROUNDS):
        rate, slope = _linear(rates, y, model.scale)
        change = np.linalg.solve(np.eye(active) / step - slope[:active, :active], rate[:active])
        size = float(np.max(np.abs(change) / model.scale[:active]))
        if size > 5.0:
            change, step = change * (5.0 / size), step * 0.5
        y[:active] += change
        if size < 1e-9 and step > 1e3:
            break
        step = min(step * (3.0 if size < 1.0 else 1.2), 1e7)
    layers = model.split(y)[0]
    if not np.all(np.isfinite(y)) or size > 1e-5:
        raise NoSolutionError(
            Problem("chiller before the failure", "does not settle", "with these numbers",
                    "check compressor_displacement and compressor_speed against coolant_flow")
        )  # fmt: skip
    if layers.min() < 0.0:
        raise NoSolutionError(
            Problem("chiller before the failure", "already freezes with the pump running",
                    "at this compressor_speed and concentration",
                    "slow the compressor, raise mass_fraction, coolant_flow or coolant_inlet_temperature")
        )  # fmt: skip
    return y


def _guess(model):
    boiling = min(model.spec.coolant_inlet_temperature - 8.0, 278.15)
    coolant = np.linspace(boiling + 4.0, model.spec.coolant_inlet_temperature, model.n)
    if not model.towards_inlet:
        coolant = coolant[::-1]
    coolant = np.maximum(coolant, model.curve.freezing_point + 1.0)
    layers = np.tile(model.curve.enthalpy_at(coolant), model.m)
    plates = 0.5 * (coolant + boiling)
    circuit = model.circuit
    density = float(circuit.table.read("vapour_density", boiling))
    mass = 0.9 * circuit.full_liquid + density * circuit.volume
    energy = circuit.table.energy_of(mass, boiling, circuit.volume)
    return np.concatenate((layers, plates, [mass, energy, float(coolant[0])], np.zeros(3)))
