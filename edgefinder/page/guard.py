"""Who may ask a page's server for what: only the page that it served itself."""

import hmac
import secrets
from dataclasses import dataclass, field
from typing import Final

from flask import Request
from werkzeug.exceptions import (
    Forbidden,
    LengthRequired,
    RequestEntityTooLarge,
    Unauthorized,
    UnsupportedMediaType,
)

from edgefinder.files import MAX_DRAWING_BYTES

DRAWING: Final = "/api/drawing"
"""The one path that takes a file, as it is."""
MOST_BYTES: Final = 64 * 1024
"""Of a change: the longest holds the edges of one run."""


@dataclass(frozen=True, slots=True)
class Guard:
    """What a request must bring.

    Parameters
    ----------
    port : int
    shell : frozenset of str
        Paths that anyone on this machine may read: they hold no data.
    token : str
        Handed to the browser in the fragment of the first address, and sent back with
        every request for data. No cookie: all ports of a host share those.
    """

    port: int
    shell: frozenset[str]
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    @property
    def hosts(self) -> tuple[str, str]:
        """The names that a browser may use for this server."""
        return f"127.0.0.1:{self.port}", f"localhost:{self.port}"

    def check(self, request: Request) -> None:
        """Refuse a request that the page did not send.

        Raises
        ------
        HTTPException
            403 for another host or origin, 401 without the token, 411 and 413 for a
            body without or with too much length, 415 for one of another type.
        """
        if request.host not in self.hosts:
            raise Forbidden("this server answers to 127.0.0.1 alone")
        is_shell = request.path in self.shell and request.method == "GET"
        site = request.headers.get("Sec-Fetch-Site", "none")
        comes_in = (
            request.path == "/"
            and request.headers.get("Sec-Fetch-Mode") == "navigate"
            and request.headers.get("Sec-Fetch-Dest") == "document"
        )
        # The file that opens the browser is another site to it.
        if site not in {"same-origin", "none"} and not (is_shell and comes_in):
            raise Forbidden("another page may not ask")
        if is_shell:
            return
        self._check_token(request)
        if request.method != "GET":
            self._check_body(request)

    def _check_token(self, request: Request) -> None:
        scheme, _, given = request.headers.get("Authorization", "").partition(" ")
        same = hmac.compare_digest(given.encode(), self.token.encode())
        if scheme != "Bearer" or not same:
            raise Unauthorized("open the page from the address that was printed")

    def _check_body(self, request: Request) -> None:
        origin = request.headers.get("Origin")
        if origin not in {f"http://{host}" for host in self.hosts}:
            raise Forbidden("another page may not ask")
        wanted, most_bytes = "application/json", MOST_BYTES
        if request.path == DRAWING:
            wanted, most_bytes = "application/octet-stream", MAX_DRAWING_BYTES
        if request.mimetype != wanted:
            raise UnsupportedMediaType(f"send {wanted}")
        if request.content_length is None:
            raise LengthRequired("say how long it is")
        if request.content_length > most_bytes:
            raise RequestEntityTooLarge("it is too large")


def headers(nonce: str) -> dict[str, str]:
    """Return the headers of every answer.

    Parameters
    ----------
    nonce : str
        That the page's own script and style sheet carry (Content Security Policy
        Level 3, W3C). Nothing else runs, nothing is fetched from elsewhere, and no
        other site can put the page into a frame.
    """
    policy = (
        "default-src 'none'",
        f"script-src 'nonce-{nonce}'",
        f"style-src 'nonce-{nonce}'",
        "connect-src 'self'",
        "img-src 'self' data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
    return {
        "Content-Security-Policy": "; ".join(policy),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Cache-Control": "no-store",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
    }
