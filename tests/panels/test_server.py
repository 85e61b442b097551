"""The server part: messages of a kernel are sent at once; a server that cannot do that stays as it is."""

import logging
from pathlib import Path
from types import SimpleNamespace

from thermo_kit.panels import server


class Usual:
    def __init__(self, calls):
        self.websocket_handler = SimpleNamespace(set_nodelay=lambda on: calls.append(("set_nodelay", on)))
        self.calls = calls

    def connect(self):
        self.calls.append(("connect",))
        return "connected"


def given(settings):
    return SimpleNamespace(web_app=SimpleNamespace(settings=settings), log=logging.getLogger("test of the server"))


def test_a_connection_sends_at_once_and_is_otherwise_the_usual_one():
    settings, calls = {server.CONNECTION: Usual}, []
    server._load_jupyter_server_extension(given(settings))
    connection = settings[server.CONNECTION](calls)
    assert isinstance(connection, Usual) and connection.connect() == "connected"
    assert calls == [("set_nodelay", True), ("connect",)]


def test_a_server_without_such_connections_stays_as_it_is(caplog):
    settings = {"port": 1}
    server._load_jupyter_server_extension(given(settings))
    assert settings == {"port": 1} and "less promptly" in caplog.text


def test_the_option_names_this_module():
    (point,) = server._jupyter_server_extension_points()
    assert point["module"] == "thermo_kit.panels.server" and server.OPTIONS[0].endswith("thermo_kit.panels.server=True")


def test_one_notebook_opens_as_a_page_with_the_extension_beside_it(tmp_path):
    options = server.options_for(tmp_path, tmp_path / "lessons" / "00_start_here.ipynb")
    assert options[-1].endswith("=/doc/tree/lessons/00_start_here.ipynb")
    folders = [Path(option.split("=", 1)[1]) for option in options[1:3]]
    assert (folders[0] / "thermo-kit-page" / "package.json").is_file() and (folders[1] / "overrides.json").is_file()
