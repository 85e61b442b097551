"""A room's door: each module behind it loads when one of its names is first asked for."""

import importlib


def by_home(names):
    """Return {name: module} of {module: names with spaces between}, so that a module is named once."""
    return {name: home for home, offered in names.items() for name in offered.split()}


def door(room, homes):
    """Return `__getattr__` and `__dir__` of a room, so that one lesson does not wait for another's parts.

    homes: {name offered: module of the room it stands in}
    """

    def getattr_of_room(name):
        if name in homes:
            return getattr(importlib.import_module(f"{room}.{homes[name]}"), name)
        raise AttributeError(f"module {room!r} has no attribute {name!r}")

    return getattr_of_room, lambda: sorted(homes)
