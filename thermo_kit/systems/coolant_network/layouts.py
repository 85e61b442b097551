"""Networks as data: a TOML file a workshop can write, read and checked into a `NetworkSpec`."""

import tomllib
from importlib import resources
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from thermo_kit.components.fan import FanSpec
from thermo_kit.components.pipe import PipeSpec
from thermo_kit.components.pump import PumpSpec
from thermo_kit.components.radiator import RadiatorSpec
from thermo_kit.components.valve_ports import ValvePosition, ValveSpec
from thermo_kit.errors import FileAccessError, InputError, Problem, UnknownNameError
from thermo_kit.systems.coolant_network.spec import (
    BodySpec,
    BranchSpec,
    ChillerLink,
    NetworkSpec,
    NodeSpec,
    ValveLink,
)

LAYOUT_NAMES = ("one_loop", "two_loops", "join_or_part", "warm_cabin")
"""The invented layouts that come with the package."""

LARGEST_FILE = 200_000
Name = Annotated[str, Field(min_length=1, max_length=60)]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Node(_Part):
    name: Name
    x: float = Field(ge=0, le=100)
    y: float = Field(ge=0, le=100)
    volume_l: float = Field(default=0.0, ge=0, le=1000)


class _Fan(_Part):
    free_flow_m3_s: float
    stall_pressure_pa: float
    efficiency: float = 0.35


class _Radiator(_Part):
    air_w_k: float
    coolant_w_k: float
    rated_air_m3_s: float
    rated_coolant_kg_s: float
    core_pressure_drop_pa: float
    fan: _Fan
    fan_speed_share: float = 1.0
    ram_share: float = 0.4
    air: str = "ambient"


class _Chiller(_Part):
    conductance_w_k: float
    rated_flow_kg_s: float
    evaporating_c: float
    body: str = ""
    on_above_c: float = 30.0
    off_below_c: float = 25.0


class _Pump(_Part):
    shut_off_head_m: float
    run_out_flow_l_min: float
    linear_share: float = 0.0
    best_efficiency: float = 0.40
    motor_efficiency: float = 0.75
    speed_share: float = 1.0


class _Branch(_Part):
    name: Name
    start: Name
    end: Name
    length_m: float
    diameter_mm: float
    roughness_mm: float = 0.002
    loss_coefficient: float = 0.0
    parallel: int = 1
    pump: _Pump | None = None
    radiator: _Radiator | None = None
    chiller: _Chiller | None = None
    corners: tuple[tuple[float, float], ...] = ()


class _Body(_Part):
    name: Name
    role: Name
    branch: Name
    heat_w: float
    heat_capacity_j_k: float
    conductance_w_k: float
    rated_flow_kg_s: float
    limit_c: float
    solid_share: float = 0.5
    air_loss_w_k: float = 1.0


class _Valve(_Part):
    name: Name
    x: float
    y: float
    position: Name
    bore_mm: float = 16.0
    loss_coefficient: float = 1.5
    ports: dict[Name, Name]
    positions: dict[Name, tuple[tuple[Name, Name], ...]]


class _Layout(_Part):
    name: Name
    title: str
    description: str
    coolant: str
    mass_fraction: float
    fill_pressure_bar: float = 1.3
    ambient_c: float = 25.0
    cabin_c: float = 20.0
    node: tuple[_Node, ...]
    branch: tuple[_Branch, ...]
    body: tuple[_Body, ...] = ()
    valve: tuple[_Valve, ...] = ()


def load_layout(name):
    """Return one of the layouts that come with the package.

    Parameters
    ----------
    name : str
        One of `LAYOUT_NAMES`.

    Returns
    -------
    NetworkSpec
        The healthy network.

    Raises
    ------
    UnknownNameError
        If there is no such layout.

    Notes
    -----
    The layouts and all their numbers are invented.

    Examples
    --------
    >>> load_layout("two_loops").title
    'Two separate loops'
    """
    if name not in LAYOUT_NAMES:
        raise UnknownNameError(
            Problem("layout", repr(name), "does not come with the package", "use one of " + ", ".join(LAYOUT_NAMES))
        )
    text = resources.files("thermo_kit.systems").joinpath("layouts", f"{name}.toml").read_text(encoding="utf-8")
    return read_layout(text)


def read_layout(source):
    """Return the network that a TOML layout describes.

    Parameters
    ----------
    source : str or pathlib.Path
        The text itself, or the path of the file.

    Returns
    -------
    NetworkSpec
        The network.

    Raises
    ------
    FileAccessError
        If the file cannot be read or is larger than 200 kB.
    InputError
        If the text is no TOML, a field is missing, unknown or of the wrong kind, or parts do not fit together.
    OutOfRangeError
        If a number is outside its range.

    Notes
    -----
    Words only; field names end in their unit. The layouts in the package show every field.
    """
    text = _text(source)
    try:
        raw = _Layout.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise InputError(Problem("layout", f"is not TOML ({error})", "", "mend that line")) from None
    except ValidationError as error:
        raise InputError(*(_problem(entry) for entry in error.errors())) from None
    return _network(raw)


def _text(source):
    if not isinstance(source, Path):
        if len(source) > LARGEST_FILE:
            raise FileAccessError(Problem("layout", f"holds {len(source)} characters", "more than 200,000"))
        return source
    try:
        if source.stat().st_size > LARGEST_FILE:
            raise FileAccessError(
                Problem("layout file", str(source.name), "is larger than 200 kB", "is it the right one?")
            )
        return source.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise FileAccessError(Problem("layout file", str(source.name), f"cannot be read ({error})")) from None


def _problem(entry):
    where = ".".join(str(part + 1) if isinstance(part, int) else str(part) for part in entry["loc"])
    given = "" if entry["type"] == "missing" else f"is {entry['input']!r}"[:80]
    return Problem(f"layout field {where}", given, entry["msg"].lower(), "see the layouts that come with the package")


def _network(raw):
    return NetworkSpec(
        name=raw.name,
        title=raw.title,
        description=raw.description,
        coolant=raw.coolant,
        mass_fraction=raw.mass_fraction,
        fill_pressure=raw.fill_pressure_bar * 1e5,
        ambient_temperature=raw.ambient_c + 273.15,
        cabin_temperature=raw.cabin_c + 273.15,
        nodes=tuple(NodeSpec(name=node.name, x=node.x, y=node.y, volume=node.volume_l / 1e3) for node in raw.node),
        branches=tuple(_branch(branch) for branch in raw.branch),
        bodies=tuple(_body(body) for body in raw.body),
        valves=tuple(_valve(valve) for valve in raw.valve),
    )


def _branch(raw):
    passage = PipeSpec(
        length=raw.length_m,
        diameter=raw.diameter_mm / 1e3,
        roughness=raw.roughness_mm / 1e3,
        loss_coefficient=raw.loss_coefficient,
        parallel=raw.parallel,
    )
    return BranchSpec(
        name=raw.name,
        start=raw.start,
        end=raw.end,
        passage=passage,
        pump=_pump(raw.pump),
        radiator=_radiator(raw.radiator),
        air=raw.radiator.air if raw.radiator else "ambient",
        chiller=_chiller(raw.chiller),
        corners=raw.corners,
    )


def _pump(raw):
    if raw is None:
        return None
    fields = raw.model_dump(exclude={"shut_off_head_m", "run_out_flow_l_min"})
    return PumpSpec(shut_off_head=raw.shut_off_head_m, run_out_flow=raw.run_out_flow_l_min / 60e3, **fields)


def _radiator(raw):
    if raw is None:
        return None
    fan = FanSpec(
        free_flow=raw.fan.free_flow_m3_s, stall_pressure=raw.fan.stall_pressure_pa, efficiency=raw.fan.efficiency
    )
    return RadiatorSpec(
        air_conductance=raw.air_w_k,
        coolant_conductance=raw.coolant_w_k,
        rated_air_flow=raw.rated_air_m3_s,
        rated_coolant_flow=raw.rated_coolant_kg_s,
        core_pressure_drop=raw.core_pressure_drop_pa,
        fan=fan,
        fan_speed_share=raw.fan_speed_share,
        ram_share=raw.ram_share,
    )


def _chiller(raw):
    if raw is None:
        return None
    return ChillerLink(
        conductance=raw.conductance_w_k,
        rated_flow=raw.rated_flow_kg_s,
        evaporating_temperature=raw.evaporating_c + 273.15,
        body=raw.body,
        on_above=raw.on_above_c + 273.15,
        off_below=raw.off_below_c + 273.15,
    )


def _body(raw):
    return BodySpec(
        name=raw.name,
        role=raw.role,
        branch=raw.branch,
        heat=raw.heat_w,
        heat_capacity=raw.heat_capacity_j_k,
        conductance=raw.conductance_w_k,
        rated_flow=raw.rated_flow_kg_s,
        temperature_limit=raw.limit_c + 273.15,
        solid_share=raw.solid_share,
        air_loss=raw.air_loss_w_k,
    )


def _valve(raw):
    valve = ValveSpec(
        ports=tuple(raw.ports),
        positions=tuple(ValvePosition(name, joins) for name, joins in raw.positions.items()),
        position=raw.position,
        bore=raw.bore_mm / 1e3,
        loss_coefficient=raw.loss_coefficient,
    )
    return ValveLink(name=raw.name, valve=valve, nodes=tuple(raw.ports.items()), x=raw.x, y=raw.y)
