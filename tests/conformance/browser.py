"""A headless Chromium that reads SVG files: what it draws, how long, and where."""

from pathlib import Path
from typing import Any, Final

from conformance.curves import Matrix
from conformance.page import Page, Shape
from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service

ENLARGED: Final = 1e5
"""Shapes are measured at this size. The browser cuts curves into chords that stay
within half a unit or so: a circle of radius 1 comes out 10 % short, one of 1,000 by
1e-4, and at this size no more than 2e-6 is left."""

_SCRIPT: Final = Path(__file__).with_name("chromium.js").read_text("utf-8")
_MEASURE: Final = """
const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
path.setAttribute("d", arguments[0]);
return path.getTotalLength();
"""
OPTIONS: Final = (
    "--headless=new",
    "--no-sandbox",  # it will not run as root with one
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-extensions",
    "--no-first-run",
    "--force-device-scale-factor=1",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost",
)


class Browser:
    """One Chromium for all files; each file is opened once."""

    def __init__(self, browser: str, driver: str) -> None:
        options = ChromeOptions()
        options.binary_location = browser
        for option in OPTIONS:
            options.add_argument(option)
        self.enlarged = ENLARGED
        self._driver = Chrome(options=options, service=Service(driver))
        self._pages: dict[Path, Page] = {}

    def page(self, path: Path) -> Page:
        """Open a file and read it."""
        if path not in self._pages:
            self._driver.get(path.as_uri())
            self._pages[path] = _page(self._driver.execute_script(_SCRIPT, ENLARGED))
        return self._pages[path]

    def length(self, data: str) -> float:
        """Return what getTotalLength says of path data."""
        return float(self._driver.execute_script(_MEASURE, data))

    def close(self) -> None:
        """End the browser and its driver."""
        self._driver.quit()


def _page(said: dict[str, Any]) -> Page:
    return Page(
        Matrix(*said["toScreen"]),
        tuple(_shape(one) for one in said["shapes"]),
        tuple((tuple(before), tuple(after)) for before, after in said["copies"]),
    )


def _shape(said: dict[str, Any]) -> Shape:
    return Shape(
        said["tag"],
        said["id"],
        said["attributes"],
        said["sizes"],
        tuple(said["viewBox"]),
        said["length"],
        tuple(said["box"]),
        tuple(said["enlargedBox"]),
        Matrix(*said["matrix"]),
        Matrix(*said["singleMatrix"]),
        said["isRounded"],
    )
