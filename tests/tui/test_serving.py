"""The UI in a browser: who gets in, and one drive through it."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from lineconfig.cli import main

pytest.importorskip("textual_serve")

from aiohttp import ClientSession, WSServerHandshakeError
from aiohttp.test_utils import TestServer

from lineconfig.tui.serving import LocalServer

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


# --- who gets in -----------------------------------------------------------------------------


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> LocalServer:
    for name in ("LINECONFIG_SERVED", "LINECONFIG_ASCII"):
        monkeypatch.setenv(name, "0")  # so that they are put back afterwards
    return LocalServer("127.0.0.1", free_port())


async def answer_of(server: LocalServer, path: str, **headers: str) -> tuple[int, str]:
    running = TestServer(await server._make_app(), port=server.port)
    await running.start_server()
    try:
        async with ClientSession() as client, client.get(
            f"http://127.0.0.1:{server.port}{path}", headers=headers
        ) as response:  # fmt: skip
            return response.status, await response.text()
    finally:
        await running.close()


async def test_the_link_opens_the_page_and_nothing_is_fetched_from_elsewhere(
    server: LocalServer,
) -> None:
    status, page = await answer_of(server, f"/?key={server.key}")
    assert status == 200 and "textual.js" in page
    loaded = re.findall(r'(?:src|href)="(https?://[^/"]+)', page)
    assert loaded and set(loaded) == {server.public_url}


@pytest.mark.parametrize("path", ["/", "/?key=guessed", "/ws", "/download/guessed"])
async def test_nobody_gets_in_without_the_key(server: LocalServer, path: str) -> None:
    status, _ = await answer_of(server, path)
    assert status == 403


async def test_a_name_that_only_points_here_is_refused(server: LocalServer) -> None:
    status, _ = await answer_of(server, f"/?key={server.key}", Host="elsewhere.example")
    assert status == 403


@pytest.mark.parametrize(
    ("origin", "size", "status"),
    [
        ("http://elsewhere.example", "width=80", 403),
        ("", "width=80", 403),
        (None, "width=1e9", 400),
    ],
)
async def test_a_connection_from_another_page_is_refused(
    server: LocalServer, origin: str | None, size: str, status: int
) -> None:
    running = TestServer(await server._make_app(), port=server.port)
    await running.start_server()
    headers = {"Origin": server.public_url if origin is None else origin} if origin != "" else {}
    try:
        async with ClientSession() as client:
            with pytest.raises(WSServerHandshakeError) as refused:
                await client.ws_connect(
                    f"ws://127.0.0.1:{server.port}/ws?key={server.key}&{size}", headers=headers
                )
        assert refused.value.status == status
    finally:
        await running.close()


# --- the command -----------------------------------------------------------------------------


def test_another_address_is_served_only_when_asked_for_and_with_a_warning(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    served: list[str] = []
    monkeypatch.setattr(LocalServer, "serve", lambda self: served.append(self.host))
    for name in ("LINECONFIG_SERVED", "LINECONFIG_ASCII"):
        monkeypatch.setenv(name, "0")
    assert main(["serve"]) == 0
    assert "WARNING" not in capsys.readouterr().err
    assert main(["serve", "--open-to-network", "0.0.0.0"]) == 0  # noqa: S104
    assert "without a password" in capsys.readouterr().err
    assert served == ["127.0.0.1", "0.0.0.0"]  # noqa: S104


def test_the_missing_package_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    assert main(["serve"]) == 2
    assert "lineconfig[serve]" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["0", "70000", "http"])
def test_a_port_that_is_none(port: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", "--port", port])
    assert ended.value.code == 2


# --- a browser -------------------------------------------------------------------------------


@pytest.fixture
def link(tmp_path: Path) -> Iterator[str]:
    """The link of a server that runs in a process of its own."""
    environment = {**os.environ, "XDG_STATE_HOME": str(tmp_path), "TEXTUAL_ANIMATIONS": "none"}
    port = free_port()
    process = subprocess.Popen(
        [sys.executable, "-m", "lineconfig", "serve", "--port", str(port)],
        stderr=subprocess.PIPE, text=True, env=environment, cwd=tmp_path,
    )  # fmt: skip
    assert process.stderr is not None
    try:
        said = process.stderr.readline()
        found = re.search(r"http://\S+", said)
        assert found, said
        for _ in range(100):
            try:
                urllib.request.urlopen(found[0], timeout=5).close()  # noqa: S310
                break
            except OSError:
                time.sleep(0.1)
        yield found[0]
    finally:
        process.terminate()
        process.wait(timeout=20)
        process.stderr.close()


@pytest.mark.skipif(CHROMIUM is None, reason="needs chromium")
def test_a_brief_is_saved_from_a_browser(link: str, tmp_path: Path) -> None:
    playwright = pytest.importorskip("playwright.sync_api")
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1200, "height": 700}, bypass_csp=True)
        # A download opens a window that is gone at once: keep its address, and fetch it here.
        page.add_init_script("window.open = address => { window.handedOver = address; }")
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(link)
        page.wait_for_selector("body.-first-byte", timeout=30_000)
        page.wait_for_function("document.activeElement.tagName == 'TEXTAREA'", timeout=30_000)
        for _ in range(20):  # what is typed before the first question is there goes nowhere
            page.keyboard.press("Control+u")
            page.keyboard.type("perry")
            page.keyboard.press("Control+s")
            page.wait_for_function("window.handedOver", timeout=30_000)
            downloaded = page.evaluate(
                "fetch(window.handedOver).then(answer => { window.handedOver = ''; "
                "return answer.text(); })"
            )
            if "kind: perry" in downloaded:
                break
        browser.close()
    assert "kind: perry" in downloaded
    assert all(url.startswith(link.partition("/?")[0]) for url in asked)
