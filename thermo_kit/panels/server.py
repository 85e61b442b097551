"""Lets JupyterLab's server send each message of a kernel at once.

Usually the system holds a short message back until the browser has confirmed the one before, which may come 40 ms
late: a moved slider then waits for its picture. `thermo-kit open` starts JupyterLab with `OPTION`; a server started
in another way does without it, or names this module in its own settings. Panels work either way.
"""

OPTION = f"--ServerApp.jpserver_extensions={__name__}=True"
CONNECTION = "kernel_websocket_connection_class"


def _jupyter_server_extension_points():
    return [{"module": __name__}]


def _load_jupyter_server_extension(server):
    settings = server.web_app.settings
    usual = settings.get(CONNECTION)
    if usual is None:
        server.log.warning("%s: this server has no %s; panels work, only less promptly", __name__, CONNECTION)
        return

    class PromptConnection(usual):
        def connect(self):
            self.websocket_handler.set_nodelay(True)
            return super().connect()

    settings[CONNECTION] = PromptConnection
