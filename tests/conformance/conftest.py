"""One browser and one office for all conformance tests."""

import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from typing import TYPE_CHECKING

import pytest
from conformance.absence import go_without

if TYPE_CHECKING:
    from conformance.browser import Browser
    from conformance.live_page import LivePage
    from conformance.office import Office
    from conformance.page_browser import PageBrowser


@pytest.fixture(scope="session")
def browser() -> Iterator["Browser"]:
    """Start Chromium; without it skip, but fail where it is promised to be: in CI."""
    programs = _programs()
    # Not before selenium is known to be there.
    from conformance.browser import Browser  # noqa: PLC0415

    started = Browser(*programs)
    yield started
    started.close()


@pytest.fixture(scope="session")
def pages() -> Iterator["PageBrowser"]:
    """Start a Chromium for the pages that this program writes; else as above."""
    programs = _programs()
    from conformance.page_browser import PageBrowser  # noqa: PLC0415

    started = PageBrowser(*programs)
    yield started
    started.close()


@pytest.fixture(scope="session")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator["LivePage"]:
    """Start a Chromium for the local page; without it as above."""
    programs = _programs()
    from conformance.live_page import LivePage  # noqa: PLC0415

    started = LivePage(*programs, tmp_path_factory.mktemp("downloads"))
    yield started
    started.close()


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory) -> "Office":
    """Return a LibreOffice for workbooks; without it as above."""
    program = shutil.which("soffice")
    if program is None:
        go_without("no LibreOffice found: install libreoffice-calc-nogui")
    from conformance.office import Office  # noqa: PLC0415

    return Office(program, tmp_path_factory.mktemp("office"))


def _programs() -> tuple[str, str]:
    """Return where the browser and its driver are."""
    if find_spec("selenium") is None:
        go_without('no selenium: pip install "edgefinder[test]"')
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        go_without("no browser found: install chromium and chromium-driver")
    return chromium, driver
