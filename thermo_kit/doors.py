"""A room's door: each module behind it loads when one of its names is first asked for."""

import importlib


def door(room, **names):
    """Return `__all__`, `__getattr__` and `__dir__` of a room, so that one lesson does not wait for another's parts.

    names: of each module of the room, what it offers, with spaces between
    """
    homes = {name: home for home, offered in names.items() for name in offered.split()}

    def getattr_of_room(name):
        if name in homes:
            return getattr(importlib.import_module(f"{room}.{homes[name]}"), name)
        raise AttributeError(f"module {room!r} has no attribute {name!r}")

    return sorted(homes), getattr_of_room, lambda: sorted(homes)
