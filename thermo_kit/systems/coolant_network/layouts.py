"""Networks as data: a TOML file a workshop can write, read and checked into a `NetworkSpec`."""

import functools
import tomllib
from importlib import resources
from pathlib import Path

from thermo_kit.errors import FileAccessError, InputError, UnknownNameError
from thermo_kit.systems.coolant_network.spec import NetworkSpec
from thermo_kit.units import from_table

LAYOUT_NAMES = ("one_loop", "two_loops", "join_or_part", "warm_cabin")
"""The invented layouts that come with the package."""

LARGEST_FILE = 200_000


@functools.cache
def load_layout(name):
    """Return one of the layouts that come with the package.

    Parameters
    ----------
    name : str. One of `LAYOUT_NAMES`.

    Returns: NetworkSpec. The healthy network. Raises UnknownNameError if there is no such layout.

    Notes: The layouts and all their numbers are invented.

    Examples
    --------
    >>> load_layout("two_loops").title
    'Two separate loops'
    """
    if name not in LAYOUT_NAMES:
        raise UnknownNameError.about(
            "layout", repr(name), "does not come with the package", "use one of " + ", ".join(LAYOUT_NAMES)
        )
    text = resources.files("thermo_kit.systems").joinpath("layouts", f"{name}.toml").read_text(encoding="utf-8")
    return read_layout(text)


def read_layout(source):
    """Return the network that a TOML layout describes.

    Parameters
    ----------
    source : str or pathlib.Path. The text itself, or the path of the file.

    Returns: NetworkSpec. The network. Raises FileAccessError if the file cannot be read or is larger than 200 kB;
        InputError if the text is no TOML, a field is missing, unknown or of the wrong kind, or parts do not fit
        together.

    Notes: Words only; fields as in `NetworkSpec` and its parts, numbers in SI or as texts with a unit.
    """
    text = _text(source) if isinstance(source, Path) else source
    if len(text) > LARGEST_FILE:
        raise FileAccessError.about("layout", "is larger than 200 kB", "", "is it the right file?")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError.about("layout", f"is not TOML ({error})", "", "mend that line") from None
    return from_table(NetworkSpec, table, "layout")


def _text(path):
    try:
        with path.open(encoding="utf-8") as file:
            return file.read(LARGEST_FILE + 1)
    except (OSError, UnicodeDecodeError) as error:
        raise FileAccessError.about("layout file", str(path.name), f"cannot be read ({error})") from None
