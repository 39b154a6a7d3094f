"""The local page in a headless Chromium, used by mouse, keys and touch."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from conformance import page_log
from conformance.live_scripts import (
    AT_EDGE,
    AXE,
    CHOSEN,
    FOCUS,
    GROUND,
    ROWS_TO,
    SAID,
    SHOWN,
    SPOT,
    STOPS_TO,
    WAIT,
)
from conformance.pressed import CONTROL, DOWN, HELD, HOME, NO_KEY, SHIFT, TAB
from page_server import Page
from selenium.common.exceptions import TimeoutException
from selenium.webdriver import ActionChains
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
        self.driver = page_log.start_logged(browser, driver, NO_OTHER_HOST)
        self.driver.set_script_timeout(SECONDS)
        self.downloads = downloads
        self.ask(
            "Browser.setDownloadBehavior",
            behavior="allow",
            downloadPath=str(downloads),
        )

    # Opening

    def shape(self, width: int, height: int = 800) -> None:
        """Give the window a size in px."""
        page_log.shape(self.driver, width, height)

    def prefer(self, *, dark: bool = False, forced: bool = False) -> None:
        """Choose a colour scheme, and whether colours are forced."""
        page_log.prefer(self.driver, dark=dark, forced=forced)

    def visit(self, url: str, width: int = 1280) -> None:
        """Go to an address in light colours; what was logged before is forgotten."""
        self.shape(width)
        self.prefer()
        self.driver.get(BLANK)
        self.console()
        self.requests()
        self.driver.get(url)

    def open(self, page: Page, width: int = 1280) -> None:
        """Open the page of a server and wait until it shows its state."""
        self.visit(page.url, width)
        self.until(SAID, ["is open"])

    def open_past(self, page: Page, width: int = 1280) -> None:
        """Open the page of a server and pass the first step, if it is asked."""
        self.open(page, width)
        if self.run("return document.getElementById('first-step').open"):
            self.pass_first_step()

    def open_on(self, page: Page, tab: str) -> None:
        """Open the page of a server and show one of its lists."""
        self.open_past(page)
        self.press(f"tab-{tab}")

    def look_away(self) -> None:
        """Let the page think that it is not seen: then it asks for no news."""
        self.run(
            "Object.defineProperty(document, 'visibilityState', {value: 'hidden'})"
        )

    # Looking

    def run(self, script: str, *arguments: object) -> Any:
        """Run a script on the page and return what it returns."""
        return self.driver.execute_script(script, *arguments)

    def until(self, script: str, *arguments: object) -> Any:
        """Wait until a script on the page returns something true, and return it."""
        try:
            return self.driver.execute_async_script(
                WAIT.replace("SCRIPT", script), *arguments
            )
        except TimeoutException as error:
            said = self.run(SHOWN)
            raise AssertionError(f"never came; the page says {said}") from error

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
        return page_log.console(self.driver)

    def requests(self) -> list[str]:
        """The addresses that were asked for since the last time."""
        return page_log.requests(self.driver)

    def strangers(self, page: Page) -> list[str]:
        """Those of them that are not of the page's own server."""
        origin = page.url.partition("#")[0]
        own = (origin, f"blob:{origin}")
        return [one for one in self.requests() if not one.startswith(own)]

    def bar(self, name: str) -> str:
        """Wait for a bar and return what it says."""
        self.until("return document.getElementById(arguments[0])", f"bar-{name}")
        return self.text(f"#bar-{name} ul")

    @property
    def chosen(self) -> list[str]:
        """The chosen edges, as the list marks them."""
        found: list[str] = self.run(CHOSEN)
        return found

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
        WebDriverWait(self.driver, SECONDS, LOOK_S).until(lambda _: path.exists())
        data = path.read_bytes()
        path.unlink()
        return data

    def ask(self, command: str, **parameters: object) -> Any:
        """Ask the browser for something by its own protocol."""
        return self.driver.execute_cdp_cmd(command, parameters)

    def close(self) -> None:
        """End the browser and its driver."""
        self.driver.quit()
