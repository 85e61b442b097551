"""A real JupyterLab on a copy of the workbook, in folders of its own."""

import atexit
import json
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

import nbformat
from nbformat.v4 import new_code_cell, new_notebook

from thermo_kit.panels.server import OPTIONS

PROJECT = Path(__file__).resolve().parents[2]
FOLDERS = ("lessons", "exercises", "answers")


class Lab:
    """The server, its copy of the workbook and how to reach it."""

    def __init__(self):
        self.home = Path(tempfile.mkdtemp(prefix="thermo-kit-lab-"))
        self.workbook = self.home / "workbook"
        for folder in FOLDERS:
            source = PROJECT / folder
            ignore = shutil.ignore_patterns(".ipynb_checkpoints", "sheets")
            if source.is_dir():
                shutil.copytree(source, self.workbook / folder, ignore=ignore)
            else:
                (self.workbook / folder).mkdir(parents=True)
        self.token = secrets.token_hex(16)
        self.port = _free_port()
        self._write_settings()
        # The first import of matplotlib in a new home builds its list of fonts; a learner waits for that once.
        warm_up = subprocess.Popen([sys.executable, "-c", "import matplotlib.font_manager"], env=self._environment())
        self.log = (self.home / "server.log").open("w")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", *self._arguments()],
            cwd=self.workbook,
            env=self._environment(),
            stdout=self.log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        atexit.register(self.stop)
        warm_up.wait(timeout=120)
        self._wait()

    def _arguments(self):
        return [
            "--no-browser",
            "--allow-root",
            "--ip=127.0.0.1",
            f"--port={self.port}",
            "--ServerApp.port_retries=0",
            f"--IdentityProvider.token={self.token}",
            f"--ServerApp.root_dir={self.workbook}",
            *OPTIONS,  # as `thermo-kit open` starts it
            "--LabApp.expose_app_in_browser=True",
            "--LabApp.extension_manager=readonly",
            # A killed test run cannot stop its server; then the server stops itself.
            "--MappingKernelManager.cull_idle_timeout=1800",
            "--ServerApp.shutdown_no_activity_timeout=1800",
        ]

    def _environment(self):
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "IPYTHON", "PYTEST", "COV_"))}
        places = {
            "HOME": "home",
            "JUPYTER_CONFIG_DIR": "config",
            "JUPYTER_DATA_DIR": "data",
            "JUPYTER_RUNTIME_DIR": "runtime",
            "JUPYTERLAB_SETTINGS_DIR": "settings",
            "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
            "IPYTHONDIR": "ipython",
            "MPLCONFIGDIR": "matplotlib",
            "THERMO_KIT_RECORDS": "records",
        }
        paths = {name: str(self.home / folder) for name, folder in places.items()}
        for path in paths.values():
            Path(path).mkdir(parents=True, exist_ok=True)
        search = os.pathsep.join([str(PROJECT), *filter(None, [kept.get("PYTHONPATH")])])
        return kept | paths | {"PYTHONPATH": search, "JUPYTER_PLATFORM_DIRS": "1"}

    def _write_settings(self):
        quiet = {"fetchNews": "false", "checkForUpdates": False}
        folder = self.home / "settings" / "@jupyterlab" / "apputils-extension"
        folder.mkdir(parents=True)
        (folder / "notification.jupyterlab-settings").write_text(json.dumps(quiet))

    def _wait(self, seconds=90):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.process.poll() is not None:
                break
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/api?token={self.token}", timeout=5):
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.2)
        text = (self.home / "server.log").read_text()[-3000:]
        self.stop()
        raise RuntimeError(f"JupyterLab did not start:\n{text}")

    def url(self, path):
        """Return the address that opens one file in a workspace of its own."""
        space = secrets.token_hex(4)
        return f"http://127.0.0.1:{self.port}/lab/workspaces/{space}/tree/{path}?token={self.token}"

    def add_notebook(self, name, *sources):
        """Write a notebook of code cells into the copy of the workbook."""
        kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
        notebook = new_notebook(cells=[new_code_cell(source) for source in sources], metadata=kernel)
        nbformat.write(notebook, self.workbook / name)
        return name

    def stop_kernels(self):
        """End every kernel, so that one test's notebooks do not slow the next."""
        base, query = f"http://127.0.0.1:{self.port}/api/sessions", f"?token={self.token}"
        with urllib.request.urlopen(base + query, timeout=10) as answer:
            sessions = json.load(answer)
        for session in sessions:
            request = urllib.request.Request(f"{base}/{session['id']}{query}", method="DELETE")
            request.add_header("Authorization", f"token {self.token}")
            urllib.request.urlopen(request, timeout=20).close()

    def stop(self):
        """End the server with its kernels and remove its folders."""
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGTERM)
            try:
                self.process.wait(timeout=15)
            except subprocess.TimeoutExpired:
                os.killpg(self.process.pid, signal.SIGKILL)
                self.process.wait()
        self.log.close()
        shutil.rmtree(self.home, ignore_errors=True)


def _free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
