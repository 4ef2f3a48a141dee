"""Serves the UI to a browser, through textual-serve, with what that leaves out.

textual-serve checks neither where a connection comes from nor how many there are, and its page
loads a font from elsewhere. Here, a page of another site cannot connect (its origin is refused),
nobody gets in without the key that stands in the link, sessions are limited, and nothing is fetched
from outside.
"""

from __future__ import annotations

import hmac
import os
import secrets
import shlex
import sys
from pathlib import Path
from typing import Any

from aiohttp import web
from textual_serve.server import Server

MOST_SESSIONS = 8
COOKIE = "lineconfig-key"
LARGEST = 500
"""Columns or rows that a browser may ask for."""


class LocalServer(Server):
    """The UI for browsers that know the key."""

    def __init__(self, address: str, port: int) -> None:
        self.key = secrets.token_urlsafe(18)
        self.sessions = 0
        shown = f"[{address}]" if ":" in address else address
        super().__init__(
            f"{shlex.quote(sys.executable)} -m lineconfig explore",
            host=address,
            port=port,
            title="lineconfig",
            public_url=f"http://{shown}:{port}",
            templates_path=Path(__file__).parent / "served",
        )
        # Read by the program that is started for each session, and only there.
        os.environ["LINECONFIG_SERVED"] = "1"
        os.environ["LINECONFIG_ASCII"] = "0"

    @property
    def link(self) -> str:
        """What to open in a browser."""
        return f"{self.public_url}/?key={self.key}"

    async def on_startup(self, app: web.Application) -> None:
        """The command says where to go; nothing more is printed."""

    def initialize_logging(self) -> None:
        """Errors only: what is typed is nobody else's business."""
        import logging

        logging.basicConfig(level="ERROR")

    def allowed(self, request: web.Request) -> bool:
        """Whether a request comes from a page of this server that knows the key."""
        given = request.query.get("key") or request.cookies.get(COOKIE, "")
        origin = request.headers.get("Origin", self.public_url)
        here = f"http://{request.host}" == self.public_url == origin
        return here and hmac.compare_digest(given.encode(), self.key.encode())

    async def handle_index(self, request: web.Request) -> Any:
        """The page, for those who know the key."""
        if not self.allowed(request):
            raise web.HTTPForbidden(text="Open the link that lineconfig printed, with its key.")
        response = await super().handle_index(request)
        # What the page may load: its own files, and the connection back to here.
        response.headers["Content-Security-Policy"] = (
            "default-src 'self' 'unsafe-inline' data:; connect-src 'self' ws: wss:; "
            "frame-ancestors 'none'"
        )
        response.headers["Referrer-Policy"] = "no-referrer"
        response.set_cookie(COOKIE, self.key, httponly=True, samesite="Strict")
        return response

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """One session, for those who know the key and come from a page of this server."""
        if "Origin" not in request.headers or not self.allowed(request):
            raise web.HTTPForbidden(text="This connection comes from elsewhere.")
        if self.sessions >= MOST_SESSIONS:
            raise web.HTTPServiceUnavailable(text=f"There are {MOST_SESSIONS} sessions already.")
        for side in ("width", "height"):
            size = request.query.get(side, "80")
            if not size.isdecimal() or not 1 <= int(size) <= LARGEST:
                raise web.HTTPBadRequest(text=f"{side} is not a number from 1 to {LARGEST}")
        self.sessions += 1
        try:
            return await super().handle_websocket(request)
        finally:
            self.sessions -= 1

    async def handle_download(self, request: web.Request) -> web.StreamResponse:
        """A file that a session hands over."""
        if not self.allowed(request):
            raise web.HTTPForbidden(text="This file is for the session that asked for it.")
        return await super().handle_download(request)
