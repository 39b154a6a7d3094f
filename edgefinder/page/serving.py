"""Running the page's server on this machine alone, until somebody is done."""

import html
import logging
import os
import socket
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from waitress import wasyncore
from waitress.server import create_server

from edgefinder.files import MAX_DRAWING_BYTES
from edgefinder.page.app import Activity, make_app, shell_files
from edgefinder.page.desk import Desk
from edgefinder.page.guard import Guard

HOST: Final = "127.0.0.1"
IDLE_S: Final = 30 * 60.0
"""After which a page that nobody uses is closed."""
THREADS: Final = 8
LOOK_S: Final = 0.2
"""Between two looks at whether to stop."""
LAST_S: Final = 10
"""To make the last answers, and to send them: a PDF of a large release takes that
long."""


@dataclass(frozen=True, slots=True)
class Address:
    """Where the page is.

    Parameters
    ----------
    url : str
        With the token in its fragment, which is not sent over any wire.
    """

    url: str


def serve(desk: Desk, tell: Callable[[Address], None], idle_s: float = IDLE_S) -> None:
    """Serve a page until it is closed, or nobody uses it.

    Parameters
    ----------
    desk : Desk
    tell : callable
        Told the address, once it can be opened.
    idle_s : float
        Seconds.
    """
    stopped = threading.Event()
    activity = Activity(stopped.set, time.monotonic)
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.bind((HOST, 0))
    port = int(listening.getsockname()[1])
    shell = shell_files()
    guard = Guard(port, frozenset(shell))
    # Waiting for a moment is nothing to tell a person of.
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    channels: dict[int, Any] = {}
    server = create_server(
        make_app(desk, shell, guard, activity),
        map=channels,
        sockets=[listening],
        threads=THREADS,
        ident=None,
        max_request_body_size=MAX_DRAWING_BYTES,
    )
    try:
        tell(Address(f"http://{HOST}:{port}/#{guard.token}"))
        while not stopped.is_set() and activity.idle() <= idle_s:
            wasyncore.loop(timeout=LOOK_S, map=channels, count=1)
    finally:
        # What has been asked is answered, and a change that has begun is finished.
        server.task_dispatcher.shutdown(cancel_pending=False, timeout=LAST_S)
        last = time.monotonic() + LAST_S
        while _has_to_send(server) and time.monotonic() < last:
            wasyncore.loop(timeout=LOOK_S, map=channels, count=1)
        with desk.lock:
            server.close()
            wasyncore.close_all(map=channels, ignore_all=True)


def _has_to_send(server: Any) -> bool:
    return any(channel.writable() for channel in server.active_channels.values())


@contextmanager
def opening_file(address: Address) -> Iterator[Path]:
    """Write a file that leads a browser to a page, for this user alone.

    So the token is not seen in the list of running programs.

    Parameters
    ----------
    address : Address

    Yields
    ------
    Path
        Gone afterwards.
    """
    handle, name = tempfile.mkstemp(prefix="edgefinder-", suffix=".html")
    path = Path(name)
    url = html.escape(address.url, quote=True)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(
                '<!doctype html><meta charset="utf-8"><title>edgefinder</title>'
                f'<meta http-equiv="refresh" content="0;url={url}">'
                f'<p><a href="{url}">Open the page</a>'
            )
        yield path
    finally:
        with suppress(OSError):
            path.unlink()
