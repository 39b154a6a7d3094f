"""A headless Chromium that opens the pages and pictures that this program writes."""

import base64
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from conformance import page_log
from conformance.live_scripts import AXE
from selenium.webdriver.support.ui import WebDriverWait

HEIGHT: Final = 900
BLANK: Final = "about:blank"
SECONDS: Final = 120
"""That a page may take on a busy machine."""
IS_THERE: Final = """
return location.href === arguments[0] && document.readyState === "complete";
"""
KEYS: Final = {"Tab": (9, ""), "Enter": (13, "\r"), "ArrowRight": (39, "")}
"""Key codes and texts of UI Events (W3C)."""
LAID_OUT: Final = """
const done = arguments[arguments.length - 1];
document.fonts.ready.then(() =>
  requestAnimationFrame(() => requestAnimationFrame(() => done())));
"""
BOXES: Final = """
return [...document.querySelectorAll("text")].map(text => {
  const box = text.getBoundingClientRect();
  return [text.textContent, box.left, box.top, box.right, box.bottom,
          [...document.querySelectorAll("svg")].indexOf(text.ownerSVGElement)];
});
"""


@dataclass(frozen=True, slots=True)
class TextBox:
    """A text as it is laid out, in px; ``picture`` counts the pictures of the page."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    picture: int


class PageBrowser:
    """One Chromium for all pages; what it logs and asks for is kept."""

    def __init__(self, browser: str, driver: str) -> None:
        self._driver = page_log.start_logged(browser, driver)
        self._driver.set_script_timeout(SECONDS)

    def open(
        self, path: Path, width: int = 1280, *, dark: bool = False, media: str = ""
    ) -> None:
        """Open a file at a width in px, as on a screen or laid out for ``print``."""
        page_log.prefer(self._driver, dark=dark, media=media)
        page_log.shape(self._driver, width, HEIGHT)
        # The driver may come back while the page before is still there: so that one is
        # left first, and the new one is waited for until it is laid out.
        self._driver.get(BLANK)
        self.requests()
        self.said()
        self._driver.get(path.as_uri())
        waiting = WebDriverWait(self._driver, SECONDS)
        waiting.until(lambda driver: driver.execute_script(IS_THERE, path.as_uri()))
        self._driver.execute_async_script(LAID_OUT)

    def said(self) -> list[str]:
        """What the console says of the page that is open."""
        return page_log.console(self._driver)

    def requests(self) -> list[str]:
        """The addresses that the page asked for, itself included."""
        return page_log.requests(self._driver)

    def run(self, script: str, *arguments: object) -> Any:
        """Run a script on the page and return what it returns."""
        return self._driver.execute_script(script, *arguments)

    def comes_true(self, script: str) -> bool:
        """Whether a script on the page returns true before long."""
        waiting = WebDriverWait(self._driver, SECONDS)
        return bool(waiting.until(lambda driver: driver.execute_script(script)))

    def press(self, key: str) -> None:
        """Press a key and let it go, as its `KEYS` names it."""
        code, text = KEYS[key]
        for kind in ("keyDown", "keyUp"):
            self._ask(
                "Input.dispatchKeyEvent",
                type=kind,
                key=key,
                code=key,
                windowsVirtualKeyCode=code,
                text=text if kind == "keyDown" else "",
            )

    def texts(self) -> list[TextBox]:
        """The texts of all pictures as they are laid out."""
        return [TextBox(*one) for one in self.run(BOXES)]

    def violations(self, axe: str) -> list[dict[str, Any]]:
        """What an accessibility checker finds on the page that is open."""
        self.run(axe)
        found = self._driver.execute_async_script(AXE, [])
        wrong: list[dict[str, Any]] = found["violations"]
        return wrong

    def printed(self, width_in: float, height_in: float) -> bytes:
        """Print the page on paper of a size, in inches, with margins of 15 mm."""
        margin = 15 / 25.4
        answer = self._ask(
            "Page.printToPDF",
            paperWidth=width_in,
            paperHeight=height_in,
            marginTop=margin,
            marginBottom=margin,
            marginLeft=margin,
            marginRight=margin,
            printBackground=False,
        )
        return base64.b64decode(answer["data"])

    def close(self) -> None:
        """End the browser and its driver."""
        self._driver.quit()

    def _ask(self, command: str, **parameters: object) -> Any:
        return self._driver.execute_cdp_cmd(command, parameters)
