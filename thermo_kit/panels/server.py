"""How JupyterLab is started for the workbook.

`thermo-kit open` adds `OPTIONS`: the page extension (one bar that starts a page, no key that changes a cell), its
defaults, and a server that sends each message of a kernel at once. Usually the system holds a short message back until
the browser has confirmed the one before, which may come 40 ms late: a moved slider then waits for its picture. The
defaults keep a panel's messages on the kernel's one main thread: JupyterLab would let a second thread answer them while
cells run, and two threads lose each other's changes (seen with a busy page: one of three quick changes of the switch).
Panels work under a server started in any other way, only less promptly and without the bar; its JupyterLab setting
`commsOverSubshells` should be `disabled`, too.
"""

from pathlib import Path

_PAGE = Path(__file__).with_name("page")
OPTIONS = (
    f"--ServerApp.jpserver_extensions={__name__}=True",
    f"--LabApp.extra_labextensions_path={_PAGE / 'labextensions'}",
    f"--LabApp.app_settings_dir={_PAGE / 'settings'}",
)
PAGES = "/doc/tree/"


def options_for(root, notebook):
    """Return what JupyterLab is started with, so that it opens one notebook as a page of its own."""
    page = "/".join(notebook.resolve().relative_to(root.resolve()).parts)
    return (*OPTIONS, f"--ServerApp.default_url={PAGES}{page}")


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
