"""Reads the vehicle files and makes checked parts of them."""

import functools
import importlib
import tomllib
from importlib.resources import files

from thermo_kit.errors import InputError, Problem, UnknownNameError
from thermo_kit.substances.names import canonical_name
from thermo_kit.systems.vehicle import FAULTS, Fault
from thermo_kit.units import from_table
from thermo_kit.units.spec import asked_of

PARTS = {
    "condenser": ("condenser", "CondenserSpec"),
    "condenser_job": ("condenser", "CondenserJob"),
    "receiver": ("receiver", "ReceiverSpec"),
    "usual_charge": ("receiver", "UsualCharge"),
    "internal_heat_exchanger": ("internal_heat_exchanger", "ExchangerSpec"),
    "expansion_valve": ("expansion_valve", "ExpansionValveSpec"),
    "evaporator": ("evaporator", "EvaporatorSpec"),
    "evaporator_conditions": ("evaporator", "EvaporatorConditions"),
    "compressor": ("compressor", "CompressorSpec"),
}
"""Which room of `components` and which specification a table of a vehicle's file belongs to."""


@functools.cache
def _tables():
    found = sorted(files("thermo_kit.fleet").iterdir(), key=lambda one: one.name)
    return {file.name.removesuffix(".toml"): _read(file) for file in found if file.name.endswith(".toml")}


def _read(file):
    try:
        table = tomllib.loads(file.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as reason:
        raise InputError.about(f"vehicle file {file.name}", f"cannot be read ({reason})") from None
    missing = [name for name in ("title", "refrigerant") if not isinstance(table.get(name), str)]
    if missing:
        raise InputError(
            *(Problem(f"vehicle file {file.name}", name, "is missing", "give it as text") for name in missing)
        )
    return {**table, "refrigerant": canonical_name(table["refrigerant"])}


def vehicles_with(part):
    """Return the names of the vehicles whose file describes a part.

    Parameters
    ----------
    part : str. A key of `PARTS`.

    Returns: tuple of str. Names of the files, without ending.

    Notes: Invented data.
    """
    return tuple(name for name, table in _tables().items() if part in table)


def title_of(vehicle):
    """Return (what a vehicle is called, the refrigerant on its label).

    Parameters
    ----------
    vehicle : str. Name of its file, without ending.

    Returns: tuple of str. For example ("parcel van", "R-1234yf").

    Notes: Invented data.
    """
    table = _table(vehicle)
    return table["title"], table["refrigerant"]


@functools.cache
def part_of(vehicle, part):
    """Return the specification of one part of a vehicle.

    Parameters
    ----------
    vehicle : str. Name of its file, without ending, such as "parcel_van".
    part : str. A key of `PARTS`.

    Returns: Spec. The checked specification. Raises UnknownNameError if there is no such vehicle, or it has no such
        part; InputError if the file says something that the part refuses; the message names file and field.

    Notes: Invented data.
    """
    table = _table(vehicle)
    if part not in PARTS or part not in table:
        raise UnknownNameError.about(f"part of {vehicle}", repr(part), "is not in its file", f"it has {_list(table)}")
    room, name = PARTS[part]
    spec = getattr(importlib.import_module(f"thermo_kit.components.{room}"), name)
    return from_table(spec, table[part], f"{vehicle}.toml, {part.replace('_', ' ')}")


def _table(vehicle):
    try:
        return _tables()[vehicle]
    except KeyError:
        advice = f"it has {_list(_tables())}"
        raise UnknownNameError.about("vehicle", repr(vehicle), "is not in the depot", advice) from None


def _list(names):
    return ", ".join(name for name in names if name not in ("title", "refrigerant"))


def vehicle_names():
    """Return the names of the vehicles whose whole circuit is described.

    Returns: tuple of str. Names of the files, without ending.

    Notes: Invented data.
    """
    return vehicles_with("vehicle")


@functools.cache
def vehicle(name):
    """Return the whole circuit of a vehicle.

    Parameters
    ----------
    name : str. One of `vehicle_names`.

    Returns: VehicleSpec. The checked specification; its table "vehicle" may describe parts of its own, else the file's
        are taken. Raises UnknownNameError if there is no such vehicle, or its circuit is not described; InputError if
        the file says something that the circuit refuses; the message names file and field.

    Notes: Invented data.

    Examples
    --------
    >>> vehicle("parcel_van").refrigerant
    'R-1234yf'
    """
    from thermo_kit.systems.vehicle import VehicleSpec

    table = _table(name)
    if "vehicle" not in table:
        advice = f"it is for {', '.join(vehicle_names())}"
        raise UnknownNameError.about("whole circuit", repr(name), "is not described", advice)
    own = table["vehicle"]
    shared = {one: table[one] for one in asked_of(VehicleSpec) if one in PARTS and one in table and one not in own}
    told = {"title": table["title"], "refrigerant": table["refrigerant"], **shared, **own}
    return from_table(VehicleSpec, told, f"{name}.toml, vehicle")


def fault_names():
    """Return the names of all faults that a vehicle of the depot can have.

    Returns: tuple of str. Keys of the table of faults.

    Notes: Definition.
    """
    return tuple(FAULTS)


def fault(name, severity):
    """Return a fault for `solve_vehicle`.

    Parameters
    ----------
    name : str. One of `fault_names`.
    severity : float, [-]. 0 is none, 1 the worst that it stands for.

    Returns: Fault. What `faults=` takes. Raises UnknownNameError if there is no such fault; OutOfRangeError if the
        severity is not a share.

    Notes: Definition.

    Examples
    --------
    >>> fault("undercharge", 0.5).severity
    0.5
    """
    return Fault(name, severity)
