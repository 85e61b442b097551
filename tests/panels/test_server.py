"""The server part: messages of a kernel are sent at once; a server that cannot do that stays as it is."""

import logging
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
    assert point["module"] == "thermo_kit.panels.server" and server.OPTION.endswith("thermo_kit.panels.server=True")
