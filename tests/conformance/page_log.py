"""A headless Chromium that keeps what its pages log and ask for."""

import json
from typing import Any, Final

from conformance.browser import OPTIONS
from selenium.webdriver import Chrome, ChromeOptions
from selenium.webdriver.chrome.service import Service

SCHEMES: Final = ("light", "dark")


def start_logged(browser: str, driver: str, *options: str) -> Any:
    """Start a Chromium; options come behind those of all browsers, the last one holds.

    The library leaves some of its functions without types: so does this one.
    """
    chosen = ChromeOptions()
    chosen.binary_location = browser
    for option in (*OPTIONS, "--hide-scrollbars", *options):
        chosen.add_argument(option)
    chosen.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    return Chrome(options=chosen, service=Service(driver))


def console(driver: Any) -> list[str]:
    """What the console said since the last time."""
    return [entry["message"] for entry in driver.get_log("browser")]


def requests(driver: Any) -> list[str]:
    """The addresses that were asked for since the last time, pages included."""
    events = (
        json.loads(entry["message"])["message"]
        for entry in driver.get_log("performance")
    )
    return [
        event["params"]["request"]["url"]
        for event in events
        if event["method"] == "Network.requestWillBeSent"
    ]


def shape(driver: Any, width: int, height: int) -> None:
    """Give the window a size in px."""
    driver.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
    )


def prefer(
    driver: Any, *, dark: bool = False, forced: bool = False, media: str = ""
) -> None:
    """Choose a colour scheme, forced colours or not, and the medium, as ``print``."""
    features = {
        "prefers-color-scheme": SCHEMES[dark],
        "forced-colors": "active" if forced else "none",
    }
    driver.execute_cdp_cmd(
        "Emulation.setEmulatedMedia",
        {
            "media": media,
            "features": [{"name": k, "value": v} for k, v in features.items()],
        },
    )
