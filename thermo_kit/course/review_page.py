"""The page on which reasons are settled: for this machine only, and for the one browser that opened its address."""

import asyncio
import contextlib
import hmac
import secrets

from tornado.httpserver import HTTPServer
from tornado.netutil import bind_sockets
from tornado.web import Application, HTTPError, RequestHandler

from thermo_kit.course.pages import page
from thermo_kit.course.review import points_in
from thermo_kit.errors import ThermoKitError

FORBIDDEN = "This address was used before, or is not whole. End the command with Ctrl-C and start it again."
POLICY = (
    "default-src 'none'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; "
    "style-src 'nonce-{0}'; script-src 'nonce-{0}'"
)


class ReviewDesk:
    """One review, the ticket in its address, which admits one browser, and what that browser is known by."""

    def __init__(self, review):
        self.review, self.ticket, self.cookie = review, secrets.token_urlsafe(32), secrets.token_urlsafe(32)

    async def serve(self, announce):
        """Serve until cancelled; the address is announced once it can be opened."""
        sockets = bind_sockets(0, "127.0.0.1")
        self.host = f"127.0.0.1:{sockets[0].getsockname()[1]}"
        server = HTTPServer(
            Application([("/", _Page, {"desk": self})], log_function=lambda _: None), max_body_size=20_000
        )
        server.add_sockets(sockets)
        announce(f"http://{self.host}/?ticket={self.ticket}")
        try:
            await asyncio.Event().wait()
        finally:
            server.stop()


class _Page(RequestHandler):
    def initialize(self, desk):
        self.desk = desk

    def set_default_headers(self):
        self.nonce = secrets.token_urlsafe(16)
        self.set_header("Content-Security-Policy", POLICY.format(self.nonce))
        self.set_header("X-Content-Type-Options", "nosniff")
        self.set_header("Referrer-Policy", "same-origin")
        self.set_header("Cache-Control", "no-store")

    def prepare(self):
        """Let in the browser that comes with the ticket, and later the same one only."""
        desk, own = self.desk, f"http://{self.desk.host}"
        if f"http://{self.request.host}" != own or self.request.headers.get("Origin", own) != own:
            raise HTTPError(403)
        if desk.ticket and _same(self.get_query_argument("ticket", ""), desk.ticket):
            desk.ticket = ""
            self.set_cookie("review", desk.cookie, httponly=True, samesite="Strict")
            self.redirect("/")
        elif not _same(self.get_cookie("review", ""), desk.cookie):
            raise HTTPError(403)

    def get(self):
        """Show one answer, or the first that is open."""
        self._show(self.get_query_argument("at", ""))

    def post(self):
        """Keep one decision and go on to the next open answer."""
        key, points, why = (self.get_body_argument(name, "") for name in ("key", "points", "why"))
        try:
            before = self.desk.review.decide_group(key, points_in(points), why)
        except ThermoKitError as error:
            self._show(key, str(error))
            return
        groups = self.desk.review.groups()
        following = [group for group in groups if group.is_open]
        later = [group for group in following if group.order > before.order]
        self.redirect(f"/?at={(later or following)[0].key if following else 'end'}", status=303)

    def _show(self, at, problem=""):
        facts = {"review": self.desk.review, "groups": self.desk.review.groups(), "at": at, "problem": problem}
        self.finish(page("review", nonce=self.nonce, **facts))

    def write_error(self, status_code, **_):
        """Say why in one line; nothing of the review is told."""
        self.set_header("Content-Type", "text/plain; charset=utf-8")
        self.finish(FORBIDDEN if status_code == 403 else f"This cannot be answered ({status_code}).")


def _same(given, wanted):
    return hmac.compare_digest(given.encode(), wanted.encode())


def serve_until_stopped(review, announce):
    """Serve the page until Ctrl-C."""
    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(ReviewDesk(review).serve(announce))
