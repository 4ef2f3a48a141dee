"""The terminal UI in a browser."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from lineconfig.commands import ANSWERED, command
from lineconfig.errors import LineconfigError

LOOPBACK = ("127.0.0.1", "::1", "localhost")
PORT = 8127


def add(commands: Any) -> None:
    """State the arguments."""
    parser = command(
        commands, "serve", run, "the terminal UI in a browser on this machine",
        "lineconfig serve --port 8127",
    )  # fmt: skip
    parser.add_argument(
        "--port", type=_port, default=PORT, metavar="N", help=f"the port (default {PORT})"
    )
    parser.add_argument(
        "--open-to-network", metavar="ADDRESS", dest="address",
        help="serve on another address than 127.0.0.1: everybody who reaches it can use the "
        "program as you; there is no password",
    )  # fmt: skip


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port from 1 to 65535")
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Do it and give the exit status."""
    from importlib.util import find_spec

    if find_spec("textual_serve") is None:
        raise LineconfigError(
            "serve needs the package textual-serve: pip install 'lineconfig[serve]'"
        )
    from lineconfig.tui.serving import LocalServer

    address = arguments.address or LOOPBACK[0]
    if address not in LOOPBACK:
        print(
            f"lineconfig: WARNING: serving on {address}. Whoever reaches this address can use the "
            "program under your name, without a password and without encryption. Stop it with "
            "Ctrl+C.",
            file=sys.stderr,
        )
    server = LocalServer(address, arguments.port)
    print(f"lineconfig: open {server.link} (Ctrl+C stops)", file=sys.stderr)
    server.serve()
    return ANSWERED
