"""Only the page itself may ask its server, and only for what it needs."""

import json
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_server import Page, demo_copy, running

from edgefinder.files import MAX_DRAWING_BYTES
from edgefinder.page.guard import MOST_BYTES

DATA = ("/api/state", "/api/pulse", "/api/forms")
CHANGES = ("change", "undo", "redo", "save", "try", "file", "drawing", "done")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("page"))) as found:
        yield found


@pytest.mark.parametrize("path", DATA)
@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"Host": "localhost:{port}"}, 200),
        ({"Host": "127.0.0.1"}, 403),
        ({"Host": "127.0.0.1:1"}, 403),
        ({"Host": "pattern.example:{port}"}, 403),
        ({"Host": "127.0.0.1:{port}.pattern.example"}, 403),
        ({"Authorization": None}, 401),
        ({"Authorization": "Bearer "}, 401),
        ({"Authorization": "Bearer é"}, 401),
        ({"Authorization": "Basic {token}"}, 401),
        ({"Authorization": "Bearer {token}x"}, 401),
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
    ],
)
def test_data_is_for_the_page_alone(
    page: Page, path: str, headers: dict[str, str | None], status: int
) -> None:
    sent = {
        name: value and value.format(port=page.port, token=page.token)
        for name, value in headers.items()
    }
    sent = {k: v and v.encode().decode("latin-1") for k, v in sent.items()}
    assert page.ask("GET", path, headers=sent).status == status


@pytest.mark.parametrize("name", CHANGES)
@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": None}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://127.0.0.1:1"}, 403),
        ({"Origin": "https://pattern.example"}, 403),
        ({"Authorization": None}, 401),
        ({"Host": "pattern.example"}, 403),
        ({"Content-Type": "text/plain"}, 415),
        ({"Content-Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content-Type": None}, 415),
    ],
)
def test_changes_are_for_the_page_alone(
    page: Page, name: str, headers: dict[str, str | None], status: int
) -> None:
    before = page.job.read_bytes()
    answer = page.ask("POST", f"/api/{name}", b"{}", headers)
    assert answer.status == status
    assert page.job.read_bytes() == before
    assert page.thread.is_alive()


def test_a_change_is_small(page: Page) -> None:
    large = json.dumps({"x": "y" * MOST_BYTES}).encode()
    assert page.ask("POST", "/api/change", large).status == 413
    assert page.ask("POST", "/api/change", b"[" * 60000).status == 422
    chunk = b"%x\r\n%s\r\n0\r\n\r\n" % (len(large), large)
    piecemeal = {"Content-Length": None, "Transfer-Encoding": "chunked"}
    assert page.ask("POST", "/api/change", chunk, piecemeal).status == 413


@pytest.mark.parametrize("body", [b"", b"null", b"[]", b'"a"', b"{", b"\xff\xfe"])
def test_what_cannot_be_read_is_said_to_be_so(page: Page, body: bytes) -> None:
    answer = page.ask("POST", "/api/change", body)
    assert answer.status == 422
    assert answer.data["mistakes"] == ["what was sent cannot be read"]


@pytest.mark.parametrize(
    "path",
    ["/etc/passwd", "/../page.html", "/%2e%2e/desk.py", "/api/", "/desk.py"],
)
def test_nothing_else_is_served(page: Page, path: str) -> None:
    answer = page.ask("GET", path)
    assert answer.status in {301, 308, 404}
    assert b"import" not in answer.body


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_only_get_and_post_are_answered(page: Page, method: str) -> None:
    origin = {"Origin": f"http://127.0.0.1:{page.port}", "Content-Length": "0"}
    answer = page.ask(method, "/api/state", b"", origin)
    assert answer.status in {405, 415, 501}
    assert "Access-Control-Allow-Origin" not in answer.headers


def test_a_drawing_may_be_larger_than_a_change(page: Page) -> None:
    headers = {"Content-Type": "application/octet-stream"}
    large = b"x" * (MOST_BYTES + 1)
    answer = page.ask("POST", "/api/drawing?name=a.exe", large, headers)
    assert answer.status == 422  # it came in, and is no drawing
    assert "is not a drawing" in answer.data["mistakes"][0]
    longer = {**headers, "Content-Length": str(MAX_DRAWING_BYTES + 1)}
    assert page.ask("POST", "/api/drawing?name=a.svg", b"", longer).status == 413
    assert page.ask("POST", "/api/drawing?name=a.svg", b"<svg/>").status == 415


def test_a_get_changes_nothing(page: Page) -> None:
    assert page.ask("GET", "/api/change").status == 405
    assert page.ask("GET", "/api/done").status == 405
    assert page.thread.is_alive()


def test_the_shell_holds_no_data_and_needs_no_token(page: Page) -> None:
    answer = page.ask("GET", "/", headers={"Authorization": None})
    assert answer.status == 200
    assert b"front" not in answer.body
    assert page.token.encode() not in answer.body


def test_the_shell_opens_from_the_file_that_leads_to_it(page: Page) -> None:
    """A browser counts that file as another site (Fetch Metadata, W3C)."""
    coming = {
        "Authorization": None,
        "Sec-Fetch-Site": "cross-site",
        "Sec-Fetch-Mode": "navigate",
        "Sec-Fetch-Dest": "document",
    }
    assert page.ask("GET", "/", headers=coming).status == 200
    framed = {**coming, "Sec-Fetch-Dest": "iframe"}
    assert page.ask("GET", "/", headers=framed).status == 403
    assert page.ask("GET", "/api/state", headers=coming).status == 403


@pytest.mark.parametrize("path", ["/", "/api/state", "/nowhere"])
def test_every_answer_carries_the_policies(page: Page, path: str) -> None:
    headers = page.ask("GET", path).headers
    policy = headers["Content-Security-Policy"]
    for part in (
        "default-src 'none'",
        "script-src 'nonce-",
        "style-src 'nonce-",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    ):
        assert part in policy
    assert "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Set-Cookie" not in headers
    assert "Server" not in headers


def test_the_nonce_is_a_new_one_every_time(page: Page) -> None:
    first, second = (
        page.ask("GET", "/").headers["Content-Security-Policy"] for _ in "ab"
    )
    assert first != second


def test_the_server_listens_at_one_address_alone(page: Page) -> None:
    """A server at all addresses would answer at every other one of this machine too."""
    socket.create_connection(("127.0.0.1", page.port), timeout=5).close()
    with pytest.raises(OSError, match=r"refused|assign|timed out|unreachable"):
        socket.create_connection(("127.0.0.2", page.port), timeout=1)


def test_a_page_nobody_uses_is_closed(tmp_path: Path) -> None:
    with running(demo_copy(tmp_path), idle_s=0.2) as page:
        page.thread.join(10)
        assert not page.thread.is_alive()
