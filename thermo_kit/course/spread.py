"""Pure functions over many independent things: in this process, in several, or on a Dask scheduler."""

import collections
import contextlib
import functools
import hashlib
import itertools
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
    """Yield the lists that function(*shared, part) returns for parts of the things, in order, taking few in advance.

    scheduler: the address of a Dask scheduler; without one, the processors of this machine share what is worth it
    """
    things, processes = iter(things), min(os.cpu_count() or 1, MOST_PROCESSES)
    first = list(itertools.islice(things, max(WORTH_A_PROCESS, 4 * processes * LARGEST_PART)))
    size = min(LARGEST_PART, max(1, len(first) // (4 * processes)))
    things = itertools.chain(first, things)
    parts = iter(lambda: list(itertools.islice(things, size)), [])
    call = functools.partial(function, *shared)
    if scheduler and first:
        yield from _on_scheduler(call, parts, scheduler)
    elif processes > 1 and len(first) >= (2 * processes if _helpers.cache_info().currsize else WORTH_A_PROCESS):
        yield from _in_order(functools.partial(_helpers(processes).submit, call), parts, 3 * processes)
    else:
        yield from map(call, parts)


def _in_order(submit, parts, ahead):
    waiting = collections.deque()
    for part in parts:
        waiting.append(submit(part))
        if len(waiting) > ahead:
            yield waiting.popleft().result()
    yield from (one.result() for one in waiting)


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
        submit = functools.partial(client.submit, call, pure=False)
        yield from _in_order(submit, parts, 4 * sum(client.nthreads().values()))


@functools.cache
def program_digest():
    """The same wherever this package and what it calculates with are the same."""
    root, digest = Path(__file__).resolve().parents[1], hashlib.sha256(platform.python_version().encode())
    for name in CALCULATING:
        digest.update(f"{name} {metadata.version(name)}\n".encode())
    for path in sorted(p for p in root.rglob("*") if p.suffix in (".py", ".toml")):
        digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()
