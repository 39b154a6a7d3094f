"""A headless Chromium that reads SVG files: what it draws, how long, and where."""

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from conformance.curves import Matrix
from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service


BROWSERS: Final = ("chromium", "chromium-browser")
DRIVER: Final = "chromedriver"

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
_OPTIONS: Final = (
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


@dataclass(frozen=True, slots=True)
class Shape:
    """One path or basic shape that the browser draws.

    Parameters
    ----------
    tag : str
    id : str or None
    attributes : dict of str to str
        As they are written.
    sizes : dict of str to float
        The sizes of a basic shape in user units as the browser resolved them, in
        single precision.
    view_box : tuple of float
        Width and height that percentages are of.
    length : float
        What getTotalLength says in user units, asked of the shape enlarged.
    box, enlarged_box : tuple of float
        Left, top, right, bottom in user units: of the shape, and of the enlarged one
        made small again.
    matrix : Matrix
        From user units to those of the outermost svg element, in double precision.
    single_matrix : Matrix
        The same before the transforms were said once more in double precision.
    is_rounded : bool
        Whether a nested viewport holds the matrix to single precision.
    """

    tag: str
    id: str | None
    attributes: dict[str, str]
    sizes: dict[str, float]
    view_box: tuple[float, ...]
    length: float
    box: tuple[float, ...]
    enlarged_box: tuple[float, ...]
    matrix: Matrix
    single_matrix: Matrix
    is_rounded: bool


@dataclass(frozen=True, slots=True)
class Page:
    """What the browser makes of one file.

    Parameters
    ----------
    to_screen : Matrix
        From the user units of the outermost svg element to px.
    shapes : tuple of Shape
        In drawing order.
    copies : tuple of pairs of tuple of float
        The box of each use element, and of what was put in its place.
    """

    to_screen: Matrix
    shapes: tuple[Shape, ...]
    copies: tuple[tuple[tuple[float, ...], tuple[float, ...]], ...]


class Browser:
    """One Chromium for all files; each file is opened once."""

    def __init__(self, browser: str, driver: str) -> None:
        options = ChromeOptions()
        options.binary_location = browser
        for option in _OPTIONS:
            options.add_argument(option)
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


def find_browser() -> tuple[str, str] | None:
    """Return the paths of Chromium and its driver; None if one is not installed."""
    browser = next(filter(None, map(shutil.which, BROWSERS)), None)
    driver = shutil.which(DRIVER)
    return (browser, driver) if browser and driver else None


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
