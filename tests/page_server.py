"""A page's server, really running, and requests to it."""

import http.client
import json
import shutil
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from edgefinder.classifier.own_list import NOTHING
from edgefinder.page.desk import Desk
from edgefinder.page.serving import Address, serve

DEMO: Final = Path(__file__).parents[1] / "fixtures" / "demo"


@dataclass
class Answer:
    """What a server answered."""

    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def data(self) -> dict[str, Any]:
        """The body as JSON."""
        found: dict[str, Any] = json.loads(self.body)
        return found


@dataclass
class Page:
    """A running server and what a page knows of it."""

    job: Path
    desk: Desk
    url: str
    thread: threading.Thread
    revision: str = ""
    token: str = field(init=False)
    port: int = field(init=False)

    def __post_init__(self) -> None:
        """Take the address apart."""
        parts = urlsplit(self.url)
        self.token, self.port = parts.fragment, parts.port or 0

    def ask(
        self,
        method: str,
        path: str,
        body: bytes | None = None,
        headers: Mapping[str, str | None] | None = None,
    ) -> Answer:
        """Send a request as the page does; a header of None is left out."""
        sent: dict[str, str | None] = {
            "Host": f"127.0.0.1:{self.port}",
            "Authorization": f"Bearer {self.token}",
        }
        if method == "POST":
            sent |= {
                "Origin": f"http://127.0.0.1:{self.port}",
                "Content-Type": "application/json",
                "Content-Length": str(len(body or b"")),
            }
        sent |= headers or {}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.putrequest(method, path, skip_host=True)
            for name, value in sent.items():
                if value is not None:
                    connection.putheader(name, value)
            connection.endheaders(body)
            answer = connection.getresponse()
            return Answer(answer.status, dict(answer.getheaders()), answer.read())
        finally:
            connection.close()

    def post(self, path: str, **values: Any) -> Answer:
        """Send named values; the newest revision is kept."""
        asked = {"revision": self.revision, **values}
        answer = self.ask("POST", path, json.dumps(asked).encode())
        if answer.headers.get("Content-Type", "").startswith("application/json"):
            self.revision = answer.data.get("revision", self.revision)
        return answer

    def state(self, size: str = "") -> dict[str, Any]:
        """Look at the state as a page that is just opened."""
        state = self.ask("GET", f"/api/state?size={size}").data
        self.revision = state["revision"]
        return state

    def change(self, **change: Any) -> Answer:
        """Ask for a change."""
        return self.post("/api/change", size=change.get("size", ""), change=change)


@contextmanager
def running(job: Path, idle_s: float = 600.0) -> Iterator[Page]:
    """Serve a job file until the end of the block."""
    desk = Desk(job, lambda: NOTHING)
    told: list[Address] = []
    ready = threading.Event()

    def tell(address: Address) -> None:
        told.append(address)
        ready.set()

    thread = threading.Thread(target=serve, args=(desk, tell, idle_s))
    thread.start()
    try:
        assert ready.wait(30)
        page = Page(job, desk, told[0].url, thread)
        page.state()
        try:
            yield page
        finally:  # of a test that failed too: nothing waits for an idle server
            if thread.is_alive():
                page.post("/api/done")
    finally:
        thread.join(30)
    assert not thread.is_alive()


def demo_copy(folder: Path, name: str = "orchard-apron") -> Path:
    """Copy a demo pattern and return its job file."""
    for file in DEMO.glob(f"{name}.*"):
        shutil.copy(file, folder)
    return folder / f"{name}.toml"
