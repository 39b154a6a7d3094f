"""The local page in a headless Chromium, used by mouse, keys and touch."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from conformance.browser import OPTIONS
from conformance.live_scripts import (
    AT_EDGE,
    AXE,
    FOCUS,
    GROUND,
    ROWS_TO,
    SAID,
    SHOWN,
    SPOT,
    STOPS_TO,
)
from conformance.pressed import CONTROL, DOWN, HELD, HOME, NO_KEY, SHIFT, TAB
from page_server import Page
from selenium.common.exceptions import TimeoutException
from selenium.webdriver import ActionChains, Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait

BLANK: Final = "about:blank"
SECONDS: Final = 20
"""That an answer may take on a busy machine."""
LOOK_S: Final = 0.02
"""Between two looks at whether it is there."""
MOST_STOPS: Final = 150
"""Presses of the tab key from any control to any other, or of an arrow key."""

NO_OTHER_HOST: Final = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"


class LivePage:
    """One Chromium for all pages; what it logs and asks for is kept."""

    def __init__(self, browser: str, driver: str, downloads: Path) -> None:
        options = ChromeOptions()
        options.binary_location = browser
        for option in OPTIONS:
            if not option.startswith("--host-resolver-rules"):
                options.add_argument(option)
        options.add_argument(NO_OTHER_HOST)
        options.add_argument("--hide-scrollbars")
        options.set_capability(
            "goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"}
        )
        # The library leaves some of its functions without types.
        self.driver: Any = Chrome(options=options, service=Service(driver))
        self.driver.set_script_timeout(SECONDS)
        self.downloads = downloads
        self.ask(
            "Browser.setDownloadBehavior",
            behavior="allow",
            downloadPath=str(downloads),
        )

    # Opening

    def shape(self, width: int, height: int = 800, *, dark: bool = False) -> None:
        """Give the window a size in px and a colour scheme."""
        scheme = "dark" if dark else "light"
        self.ask(
            "Emulation.setEmulatedMedia",
            features=[{"name": "prefers-color-scheme", "value": scheme}],
        )
        self.ask(
            "Emulation.setDeviceMetricsOverride",
            width=width,
            height=height,
            deviceScaleFactor=1,
            mobile=False,
        )

    def visit(self, url: str, width: int = 1280, *, dark: bool = False) -> None:
        """Go to an address; what was logged before is forgotten."""
        self.shape(width, dark=dark)
        self.driver.get(BLANK)
        self.console()
        self.requests()
        self.driver.get(url)

    def open(self, page: Page, width: int = 1280, *, dark: bool = False) -> None:
        """Open the page of a server and wait until it shows its state."""
        self.visit(page.url, width, dark=dark)
        self.until(SAID, ["is open"])

    def open_on(self, page: Page, tab: str, width: int = 1280) -> None:
        """Open the page of a server and show one of its lists."""
        self.open(page, width)
        self.press(f"tab-{tab}")

    # Looking

    def run(self, script: str, *arguments: object) -> Any:
        """Run a script on the page and return what it returns."""
        return self.driver.execute_script(script, *arguments)

    def until(self, script: str, *arguments: object) -> Any:
        """Wait until a script on the page returns something true, and return it."""
        return self.until_true(lambda: self.run(script, *arguments))

    def until_true(self, look: Callable[[], Any]) -> Any:
        """Wait until something is true, and return it."""
        waiting = WebDriverWait(self.driver, SECONDS, LOOK_S)
        try:
            return waiting.until(lambda _: look())
        except TimeoutException as error:
            raise AssertionError(f"never came; the page says {self.run(SHOWN)}") from (
                error
            )

    def text(self, selector: str) -> str:
        """The text of an element, blanks as one; empty if there is none."""
        found = self.run(
            "return document.querySelector(arguments[0])?.textContent ?? ''", selector
        )
        return " ".join(found.split())

    def texts(self, selector: str) -> list[str]:
        """The texts of all elements that a selector means."""
        found: list[str] = self.run(
            "return [...document.querySelectorAll(arguments[0])]"
            ".map(one => one.textContent.trim().replace(/\\s+/g, ' '))",
            selector,
        )
        return found

    def value(self, name: str) -> str:
        """What stands in a field."""
        found: str = self.run(
            "return document.getElementById(arguments[0]).value", name
        )
        return found

    @property
    def status(self) -> str:
        """What the status line says."""
        return self.text("#status")

    @property
    def focus(self) -> str:
        """The id of what has the focus."""
        found: str = self.run(FOCUS)
        return found

    def console(self) -> list[str]:
        """What the console said since the last time."""
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self) -> list[str]:
        """The addresses that were asked for since the last time."""
        events = (
            json.loads(entry["message"])["message"]
            for entry in self.driver.get_log("performance")
        )
        return [
            event["params"]["request"]["url"]
            for event in events
            if event["method"] == "Network.requestWillBeSent"
        ]

    # Doing

    @contextmanager
    def saying(self, *words: str) -> Iterator[None]:
        """Wait after the block until the status line says words of its own."""
        self.run("document.getElementById('status').textContent = ''")
        yield
        self.until(SAID, list(words))

    def find(self, name: str) -> WebElement:
        """Return an element by its id."""
        found: WebElement = self.driver.find_element(By.ID, name)
        return found

    def press(self, name: str) -> None:
        """Press a button with the mouse."""
        self.find(name).click()

    def pass_first_step(self) -> None:
        """Say that the sizes are right."""
        with self.saying("The sizes are right"):
            self.press("sizes-right")

    def fill(self, name: str, text: str, *words: str) -> None:
        """Write a text into a field and leave it; wait for what the page says."""
        with self.saying(*words):
            self.type_into(name, text)

    def type_into(self, name: str, text: str) -> None:
        """Write a text into a field, in the place of what stood there, and leave it."""
        field = self.find(name)
        field.click()
        # The library's own way of emptying a field leaves it, and so sends it empty.
        field.send_keys(CONTROL, "a", NO_KEY, text, TAB)

    def pick(self, name: str, text: str) -> None:
        """Pick from a list of choices by its text."""
        option = self.driver.find_element(
            By.XPATH, f"//*[@id='{name}']/option[normalize-space()='{text}']"
        )
        option.click()

    def settled(self) -> None:
        """Wait until all that was asked for is answered."""
        self.until("return !document.body.hasAttribute('aria-busy')")

    # Pointing

    def spot(self, piece: str, label: str) -> tuple[float, float]:
        """A place on an edge that nothing else covers, in px."""
        found = self.run(SPOT, piece, label)
        assert found is not None, f"no place of {piece} {label} is free"
        return found[0], found[1]

    def ground(self) -> tuple[float, float]:
        """A place of the picture where nothing is, in px."""
        found = self.run(GROUND)
        return found[0], found[1]

    def click(self, piece: str, label: str, *held: str) -> None:
        """Click an edge in the picture, keys held down."""
        hands = self.hands()
        for key in held:
            hands.key_down(key)
        self.move(hands, *self.spot(piece, label)).click()
        for key in held:
            hands.key_up(key)
        hands.perform()

    def hands(self) -> ActionChains:
        """What mouse and keys do next, without waiting in between."""
        return ActionChains(self.driver, duration=0)

    @staticmethod
    def move(hands: ActionChains, x: float, y: float) -> ActionChains:
        """Move the mouse to a place in the window."""
        pointer: Any = hands.w3c_actions.pointer_action
        pointer.move_to_location(round(x), round(y))
        hands.w3c_actions.key_action.pause()
        return hands

    def drag(
        self, start: tuple[float, float], end: tuple[float, float], *held: str
    ) -> None:
        """Drag from one place to another, keys held down."""
        hands = self.hands()
        for key in held:
            hands.key_down(key)
        self.move(hands, *start).click_and_hold()
        for part in (0.1, 0.5, 0.9, 1.0):
            where = [a + part * (b - a) for a, b in zip(start, end, strict=True)]
            self.move(hands, where[0], where[1])
        hands.release()
        for key in held:
            hands.key_up(key)
        hands.perform()

    def middle(self, selector: str) -> tuple[float, float]:
        """The middle of an element as it lies now, in px."""
        x, y = self.run(
            "const box = document.querySelector(arguments[0]).getBoundingClientRect();"
            "return [box.left + box.width / 2, box.top + box.height / 2]",
            selector,
        )
        return x, y

    def bring(self, name: str) -> None:
        """Roll an element into the middle of what is seen."""
        self.run(
            "document.getElementById(arguments[0]).scrollIntoView({block: 'center'})",
            name,
        )

    def drag_row(self, order: str, start: int, end: int) -> None:
        """Drag an edge of a run by its grip to the place of another, from 1 up."""
        self.bring(order)
        row = f"#{order} li:nth-child"
        x, y = self.middle(f"{row}({end})")
        way = 8 if end > start else -8
        self.drag(self.middle(f"{row}({start}) .grip"), (x, y + way))

    # Keys

    def keys(self, *pressed: str) -> None:
        """Press keys where the focus is; Shift and Ctrl are held for those after."""
        hands = self.hands()
        held = [key for key in pressed if key in HELD]
        for key in pressed:
            if key in HELD:
                hands.key_down(key)
            else:
                hands.send_keys(key)
        for key in held:
            hands.key_up(key)
        hands.perform()

    def tab_to(self, name: str) -> None:
        """Press the tab key, alone or with Shift, until an element has the focus."""
        self._tab_until(f"one.id === {json.dumps(name)}")

    def tab_to_list(self) -> None:
        """Press the tab key until an edge of the list has the focus."""
        self._tab_until("one.matches('.edge-row input')")

    def _tab_until(self, condition: str) -> None:
        for _ in range(MOST_STOPS):
            far = self.run(STOPS_TO.replace("CONDITION", condition))
            if far == 0:
                return
            way = (SHIFT, TAB) if far < 0 else (TAB,)
            self.keys(*way[:-1], *[TAB] * abs(far))
        raise AssertionError(f"no tab key leads to where {condition}")

    def arrow_to(self, piece: str, label: str) -> None:
        """Press arrow keys in the list until an edge has the focus."""
        far = self.run(ROWS_TO, piece, label)
        assert far >= 0, f"there is no {piece} {label}"
        self.keys(HOME, *[DOWN] * far)
        assert self.run(AT_EDGE) == [piece, label]

    # Checking

    def checked(
        self, axe: str, *rules: str
    ) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
        """What an accessibility checker finds wrong, and what it cannot tell.

        It goes by all of its rules if none is named.
        """
        if not self.run("return 'axe' in window"):
            self.run(axe)
        found = self.driver.execute_async_script(AXE, list(rules))
        return found["violations"], found["incomplete"]

    def downloaded(self, name: str) -> bytes:
        """Wait for a file that the browser keeps, take it away and return it."""
        path = self.downloads / name
        self.until_true(path.exists)
        data = path.read_bytes()
        path.unlink()
        return data

    def ask(self, command: str, **parameters: object) -> Any:
        """Ask the browser for something by its own protocol."""
        return self.driver.execute_cdp_cmd(command, parameters)

    def close(self) -> None:
        """End the browser and its driver."""
        self.driver.quit()
