"""Where what belongs to one learner lies on this computer, and small settings kept there."""

import contextlib
import json
import os
import tempfile
from pathlib import Path

RECORDS_VARIABLE = "THERMO_KIT_RECORDS"
_LIMIT = 100_000


def own_folder():
    """Return the folder of the learner's own files; the variable THERMO_KIT_RECORDS names another one."""
    if named := os.environ.get(RECORDS_VARIABLE):
        return Path(named).expanduser().resolve()
    import platformdirs

    return platformdirs.user_data_path("thermo-kit", appauthor=False)


def kept(name):
    """Return what was kept under a name, or None where there is nothing that can be read."""
    path = own_folder() / f"{name}.json"
    try:
        text = path.read_bytes()[: _LIMIT + 1]
        return json.loads(text) if len(text) <= _LIMIT else None
    except (OSError, ValueError, RecursionError):
        return None


def keep(name, values):
    """Keep plain values under a name; where the system refuses, the page goes on without."""
    folder = own_folder()
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile("w", dir=folder, suffix=".part", delete=False, encoding="utf-8") as part:
            json.dump(values, part)
        os.replace(part.name, folder / f"{name}.json")
