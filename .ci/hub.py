"""Two learners of a class on JupyterHub, by the very recipe of DEVELOPERS.md and with the real servers on loopback.

    python .ci/hub.py

Each logs in, finds lessons and a handed-out exercise in a home of their own, runs a lesson, and answers the exercise;
the instructor marks both sheets. Needs jupyterhub; npm fetches the proxy into a temporary folder where it is missing.
"""

import asyncio
import json
import os
import re
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import textwrap
import time
import uuid
from pathlib import Path

import nbformat
import requests
from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect

ROOT = Path(__file__).resolve().parents[1]
LEARNERS, LESSON, EXERCISE = ("a01", "a02"), "02_ph_diagram", "02_ph_diagram"
LONGEST_WAIT = 300
OWN = """
c.JupyterHub.authenticator_class = "dummy"
c.Authenticator.allow_all = True
c.DummyAuthenticator.password = "{password}"
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = "{homes}/{{username}}"
c.Spawner.start_timeout = c.Spawner.http_timeout = {wait}
c.JupyterHub.bind_url = "{address}"
c.JupyterHub.hub_port = {hub_port}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"
c.ConfigurableHTTPProxy.command = "{proxy}"
if {is_root}:
    c.Spawner.args.append("--allow-root")
"""
# What a learner types: into the first box, as the browser would send it.
ANSWER = """
sheet = next(shown for shown in Out.values() if hasattr(shown, "entries"))
sheet.entries[0].controls[0].value = "{given}"
"""


def recipe(homes):
    """The configuration as DEVELOPERS.md tells it, with homes of its own."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(r"spawner are added:\n\n((?:    .*\n|\n)+)", text)
    told = textwrap.dedent(found[1])
    assert told.count('Path("/home")') == 1, "the recipe says no longer where the homes are"
    return told.replace('Path("/home")', f'Path("{homes}")')


def find_proxy(folder):
    """The proxy on the path, or one that npm fetches."""
    if found := shutil.which("configurable-http-proxy"):
        return found
    subprocess.run(["npm", "install", "--silent", "--prefix", folder, "configurable-http-proxy"], check=True)
    return folder / "node_modules" / ".bin" / "configurable-http-proxy"


def free_ports(count):
    """Ports that nobody listens on just now."""
    held = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [one.getsockname()[1] for one in held]
    for one in held:
        one.close()
    return ports


def command(*words):
    """Run thermo-kit as the instructor does."""
    words = [sys.executable, "-m", "thermo_kit.cli", *map(str, words)]
    return subprocess.run(words, check=True, capture_output=True, text=True, cwd=ROOT).stdout


def wait_for(what, ask):
    """Ask again and again until the answer is true, and return it."""
    end = time.monotonic() + LONGEST_WAIT
    while time.monotonic() < end:
        try:
            if answer := ask():
                return answer
        except requests.ConnectionError:
            pass
        time.sleep(0.5)
    raise TimeoutError(what)


class Learner:
    """One learner's browser: logged in by the form, with a server of their own."""

    def __init__(self, hub, name, password):
        self.name, self.hub, self.browser = name, hub, requests.Session()
        self.server = f"{hub}/user/{name}"
        self.browser.get(f"{hub}/hub/login").raise_for_status()
        told = {"username": name, "password": password, "_xsrf": self._xsrf()}
        self.browser.post(f"{hub}/hub/login", data=told, allow_redirects=False).raise_for_status()
        made = self.browser.post(f"{hub}/hub/api/users/{name}/tokens", headers=self._own(), json={})
        made.raise_for_status()
        self.headers = {"Authorization": f"token {made.json()['token']}"}
        requests.post(f"{hub}/hub/api/users/{name}/server", headers=self.headers).raise_for_status()
        wait_for(f"the server of {name}", lambda: requests.get(f"{self.server}/api/status", headers=self.headers).ok)

    def _xsrf(self):
        return next(cookie.value for cookie in self.browser.cookies if cookie.name == "_xsrf")

    def _own(self):
        return {"X-XSRFToken": self._xsrf(), "Referer": f"{self.hub}/hub/token"}

    def read(self, path):
        """What lies in the learner's home."""
        answer = requests.get(f"{self.server}/api/contents/{path}", headers=self.headers)
        answer.raise_for_status()
        return answer.json()["content"]

    async def run(self, path, *more):
        """Run a notebook of the home in a kernel of its own, and further code after it."""
        asked = {"path": path, "name": path, "type": "notebook", "kernel": {"name": "python3"}}
        session = requests.post(f"{self.server}/api/sessions", headers=self.headers, json=asked)
        session.raise_for_status()
        kernel = session.json()["kernel"]["id"]
        address = f"{self.server}/api/kernels/{kernel}/channels".replace("http", "ws", 1)
        channel = await websocket_connect(HTTPRequest(address, headers=self.headers))
        notebook = nbformat.from_dict(self.read(path))
        for code in [*(cell.source for cell in notebook.cells if cell.cell_type == "code"), *more]:
            await asyncio.wait_for(_execute(channel, code), LONGEST_WAIT)
        channel.close()
        requests.delete(f"{self.server}/api/sessions/{session.json()['id']}", headers=self.headers).raise_for_status()


async def _execute(channel, code):
    number = uuid.uuid4().hex
    head = {"msg_id": number, "msg_type": "execute_request", "username": "", "session": number, "version": "5.3"}
    asked = {"code": code, "silent": False, "store_history": True, "user_expressions": {}, "allow_stdin": False}
    message = {"header": head, "parent_header": {}, "metadata": {}, "content": asked, "channel": "shell"}
    await channel.write_message(json.dumps(message))
    while True:
        answer = json.loads(await channel.read_message())
        if answer["msg_type"] == "execute_reply" and answer["parent_header"].get("msg_id") == number:
            assert answer["content"]["status"] == "ok", answer["content"]
            return


def hand_out(folder, homes):
    """Hand an exercise out, and carry it into each learner's home."""
    roster, room = folder / "roster.csv", folder / "class_a"
    roster.write_text("learner\n" + "\n".join(LEARNERS))
    command("handout", roster, "--exercise", EXERCISE, "--to", room)
    for learner in LEARNERS:
        shutil.copytree(room / "for_learners" / learner, homes / learner / "my_work")
    return room


def check(folder):
    """Everything from the hand-out to the marks."""
    homes, password = folder / "homes", secrets.token_hex(8)
    room, proxy = hand_out(folder, homes), find_proxy(folder)
    port, hub_port, proxy_port = free_ports(3)
    hub = f"http://127.0.0.1:{port}"
    facts = {"homes": homes, "password": password, "address": hub, "hub_port": hub_port, "proxy_port": proxy_port}
    own = OWN.format(**facts, proxy=proxy, is_root=os.geteuid() == 0, wait=LONGEST_WAIT)
    (folder / "jupyterhub_config.py").write_text(recipe(homes) + own)
    with (folder / "hub.log").open("w") as log:
        words = [sys.executable, "-m", "jupyterhub", "-f", "jupyterhub_config.py"]
        process = subprocess.Popen(words, cwd=folder, stdout=log, stderr=log, start_new_session=True)
    try:
        wait_for("the hub", lambda: process.poll() is not None or requests.get(f"{hub}/hub/health").ok)
        one, other = (Learner(hub, name, password) for name in LEARNERS)
        refused = requests.get(f"{other.server}/api/contents", headers=one.headers, allow_redirects=False)
        assert refused.status_code == 403, f"{one.name} sees the home of {other.name}"
        for learner in (one, other):
            lessons = {entry["name"] for entry in learner.read("workbook/lessons")}
            assert {f"{LESSON}.ipynb", "00_start_here.ipynb"} <= lessons
            assert [entry["name"] for entry in learner.read("my_work")] == [f"{EXERCISE}.ipynb"]
            asyncio.run(learner.run(f"workbook/lessons/{LESSON}.ipynb"))
            asyncio.run(learner.run(f"my_work/{EXERCISE}.ipynb", ANSWER.format(given="1 bar")))
            print(f"{learner.name}: logged in, ran lesson {LESSON}, saved a sheet", flush=True)
    except BaseException:
        print((folder / "hub.log").read_text()[-3_000:], file=sys.stderr)
        raise
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(60)
    for learner in LEARNERS:
        sheet = f"{EXERCISE}.sheet.json"
        shutil.copy(homes / learner / "my_work" / sheet, room / "for_learners" / learner / sheet)
    marked = json.loads(command("mark", room, "--json"))["marked"]
    assert [one["learner"] for one in marked] == list(LEARNERS)
    for one in marked:
        print(f"{one['learner']}: {one['points']:g} of {one['out_of']:g} points")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as chosen:
        began = time.monotonic()
        check(Path(chosen))
        print(f"The recipe holds; {time.monotonic() - began:.0f} s.")
