"""Names that would be more than text: on the page they are text."""

from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING, Final

import pytest
from conformance.live_scripts import TABS
from page_server import Page, running
from sheet_cases import toml_text, write_drawing, write_job

if TYPE_CHECKING:
    from conformance.live_page import LivePage

SCRIPT: Final = "<script>alert(1)</script>"
ATTRIBUTE: Final = '"onload="alert(1)'
IMAGE: Final = "<img src=x onerror=alert(1)>"
TURNED: Final = "\u202egnp.elbaulav\u202c neck"
"""Between a right-to-left override and its end."""
LONG: Final = "w" * 300
LONG_PIECE: Final = "m" * 60
"""No longer text is taken for the name of a piece."""
CLOSING: Final = "]]></title></svg><svg onload=alert(1)>"
HOLED: Final = "{{ nonce }}"

JOB: Final = f"""name = {toml_text(IMAGE)}
unit = "mm"
seam_allowance = "10 mm"
[fabric]
cloth = {toml_text(SCRIPT)}
[[cloths]]
name = {toml_text(SCRIPT)}
stretch_limit_percent = 18
[[tapes]]
name = {toml_text(IMAGE)}
finished_width = "9 mm"
[[pieces]]
name = {toml_text(SCRIPT)}
edge_names = {{ {toml_text(ATTRIBUTE)} = "1", {toml_text(TURNED)} = "2" }}
[[runs]]
name = {toml_text(IMAGE)}
tape = {toml_text(IMAGE)}
edges = [{toml_text(f"{SCRIPT} 1")}, {toml_text(f"{SCRIPT} 2")}]
[[runs]]
name = {toml_text(LONG)}
tape = {toml_text(IMAGE)}
edges = [{toml_text(f"{LONG_PIECE} 1")}]
[[runs]]
name = {toml_text(HOLED)}
tape = {toml_text(IMAGE)}
edges = [{toml_text(f"{ATTRIBUTE} 1")}]
"""

RAN: Final = """
const before = performance.getEntriesByType("resource").map(one => one.name);
return [document.querySelectorAll("script").length,
  document.querySelectorAll("img, iframe, object, embed").length,
  [...document.querySelectorAll("*")].flatMap(one => [...one.attributes])
    .filter(one => one.name.startsWith("on")).map(one => one.name),
  before.filter(name => !name.startsWith(location.origin))];
"""


def pieces() -> str:
    """Four pieces; sizes and ids are hostile too."""
    path = "M {0} 100 L {1} 100 L {2} 160 L {2} 400 L {0} 400 Z"
    body = []
    for number, name in enumerate((SCRIPT, ATTRIBUTE, LONG_PIECE, CLOSING)):
        left = 100 + 420 * number
        data = path.format(left, left + 300, left + 360)
        body.append(
            f'<path d="{data}" fill="none" stroke="#000">'
            f"<title>{escape(name)}</title></path>"
        )
        notch = f"M {left} 250 l 5 0"
        body.append(
            f'<path d="{notch}" class="notch" fill="none" stroke="#000">'
            f"<title>{escape(IMAGE)}</title></path>"
        )
    return f'<g id="size-{escape(IMAGE)}">{"".join(body)}</g>'


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    folder = tmp_path_factory.mktemp("hostile")
    write_drawing(folder, pieces())
    with running(write_job(folder, JOB)) as found:
        yield found


@pytest.fixture
def opened(live: "LivePage", page: Page) -> "LivePage":
    """The page, past the first step if that is asked."""
    live.open_past(page)
    return live


def test_hostile_names_are_text_everywhere(opened: "LivePage", page: Page) -> None:
    state = page.state()
    assert state["mistakes"] == []
    assert len(state["runs"]) == 3
    seen = ""
    for tab in TABS:
        opened.press(f"tab-{tab}")
        seen += opened.run("return document.body.textContent")
        seen += opened.run(
            "return [...document.querySelectorAll('input, select, textarea')]"
            ".map(one => one.value).join(' ')"
        )
        assert opened.run(RAN) == [1, 0, [], []]
    for name in (SCRIPT, ATTRIBUTE, IMAGE, LONG, CLOSING, HOLED):
        assert name in seen, name
    assert "gnp.elbaulav" in seen
    assert opened.driver.title.startswith(IMAGE)
    assert opened.console() == []
    assert opened.strangers(page) == []


def test_hostile_names_are_text_in_what_is_done(opened: "LivePage", page: Page) -> None:
    for label in ("3", "4"):
        opened.click(CLOSING, label)
        assert CLOSING in opened.text("#actions-title")
        with opened.saying(CLOSING, "hem"):
            opened.press("finish-hem")
    opened.press("for-one-title")
    opened.find("edge-name").send_keys(IMAGE)
    with opened.saying(IMAGE):
        opened.press("name-edge")
    opened.pick("bound-run", "a new run")
    opened.find("bound-name").send_keys(ATTRIBUTE)
    with opened.saying(ATTRIBUTE):
        opened.press("finish-bound")
    opened.press("tab-cloth")
    opened.press("new-tapes-title")
    opened.find("new-tapes-name").send_keys(SCRIPT)
    with opened.saying(SCRIPT):
        opened.press("new-tapes-make")
    # A mistake says it as text too.
    opened.type_into("tapes-0-finished_width", IMAGE)
    opened.until("return document.querySelector('.wrong:not([hidden])')?.textContent")
    assert IMAGE in opened.text("#tapes-0-finished_width-wrong")
    assert opened.run(RAN) == [1, 0, [], []]
    assert {IMAGE, LONG, HOLED, ATTRIBUTE} <= {
        run["name"] for run in page.state()["runs"]
    }
    for one in opened.console():
        assert "status of 422" in one


def test_long_names_make_nothing_wider(opened: "LivePage") -> None:
    for width in (360, 800, 1280):
        opened.shape(width)
        for tab in TABS:
            opened.press(f"tab-{tab}")
            wide = "return document.documentElement.scrollWidth"
            assert opened.run(wide) <= width, tab
