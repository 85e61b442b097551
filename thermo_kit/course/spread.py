"""Pure functions over many independent things: in this process, in several, or on a Dask scheduler."""

import contextlib
import functools
import hashlib
import multiprocessing
import os
import platform
import signal
import threading
from concurrent.futures import ProcessPoolExecutor
from importlib import metadata
from pathlib import Path

from thermo_kit.errors import CourseError, FileAccessError

# Fewer are done before a second process has loaded what it needs.
WORTH_A_PROCESS = 200
LARGEST_PART = 50
MOST_PROCESSES = 8
CALCULATING = ("CoolProp", "fluids", "ht", "numpy", "pint", "scipy")


def spread(function, shared, things, scheduler=""):
    """Yield the lists that function(*shared, part) returns for parts of the things, in order.

    scheduler: the address of a Dask scheduler; without one, the processors of this machine share what is worth it
    """
    things, processes = list(things), min(os.cpu_count() or 1, MOST_PROCESSES)
    size = min(LARGEST_PART, max(1, len(things) // (4 * processes)))
    parts = [things[start : start + size] for start in range(0, len(things), size)]
    call = functools.partial(function, *shared)
    if scheduler and parts:
        yield from _on_scheduler(call, parts, scheduler)
    elif processes > 1 and len(things) >= (2 * processes if _helpers.cache_info().currsize else WORTH_A_PROCESS):
        yield from _helpers(processes).map(call, parts)
    else:
        yield from map(call, parts)


@functools.cache
def _helpers(processes):
    # They stay, since each has loaded what it calculates with.
    return ProcessPoolExecutor(processes, multiprocessing.get_context("spawn"), _ready_helper)


def _ready_helper():
    # The first process alone answers Ctrl+C; and where it was killed, no helper waits for ever.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent():
    multiprocessing.parent_process().join()
    os._exit(1)


def _on_scheduler(call, parts, address):
    try:
        from distributed import Client
    except ImportError as error:
        advice = 'install it: python -m pip install -e ".[cluster]"'
        raise FileAccessError.about("--scheduler", "needs the package distributed", advice=advice) from error
    with contextlib.ExitStack() as stack:
        try:
            client = stack.enter_context(Client(address, timeout=10, set_as_default=False))
        except (OSError, ValueError) as error:
            advice = "start one with `dask scheduler`, and write its address, such as tcp://127.0.0.1:8786"
            raise FileAccessError.about("the scheduler", f"does not answer at {address}", advice=advice) from error
        theirs = set(client.run(program_digest).values())
        if theirs != {program_digest()}:
            told = "are of another version" if theirs else "are missing"
            advice = "start each with `dask worker ADDRESS`, with this version of the workbook installed"
            raise CourseError.about("the workers", told, advice=advice)
        yield from (future.result() for future in client.map(call, parts, pure=False))


@functools.cache
def program_digest():
    """The same wherever this package and what it calculates with are the same."""
    root, digest = Path(__file__).resolve().parents[1], hashlib.sha256(platform.python_version().encode())
    for name in CALCULATING:
        digest.update(f"{name} {metadata.version(name)}\n".encode())
    for path in sorted(p for p in root.rglob("*") if p.suffix in (".py", ".toml")):
        digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()
