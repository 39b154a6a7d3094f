"""Looking at the picture: pointing, zooming, moving, by mouse, keys and touch."""

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import pytest
from conformance.pressed import DOWN, ESCAPE, LEFT, RIGHT, UP
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage


class View(NamedTuple):
    """What is seen: the corner in millimetres, and pixels to a millimetre."""

    x: float
    y: float
    scale: float


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("picture"))) as found:
        yield found


@pytest.fixture(scope="module")
def once(live: "LivePage", page: Page) -> "LivePage":
    live.open(page)
    return live


@pytest.fixture
def opened(once: "LivePage") -> "LivePage":
    """The page with all of the picture seen, and nothing chosen."""
    once.press("tab-edges")
    once.run("document.getElementById('picture').focus()")
    once.keys(ESCAPE, "0")
    return once


def view(live: "LivePage") -> View:
    """How the picture is seen now."""
    x, y, wide, shown = live.run(
        "const one = document.getElementById('drawing');"
        "const box = one.viewBox.baseVal;"
        "return [box.x, box.y, box.width, one.clientWidth];"
    )
    return View(x, y, shown / wide)


def under(live: "LivePage", at: tuple[float, float]) -> tuple[float, float]:
    """The place of the drawing under a pixel of the window, in millimetres."""
    left, top = live.run(
        "const box = document.getElementById('drawing').getBoundingClientRect();"
        "return [box.left, box.top]"
    )
    seen = view(live)
    return seen.x + (at[0] - left) / seen.scale, seen.y + (at[1] - top) / seen.scale


def near(one: tuple[float, float], other: tuple[float, float], far: float) -> bool:
    return math.dist(one, other) <= far


def test_hover_says_the_name_and_the_length(opened: "LivePage", page: Page) -> None:
    for piece in page.state("S")["pieces"]:
        for edge in piece["edges"]:
            opened.move(
                opened.hands(), *opened.spot(piece["name"], edge["label"])
            ).perform()
            said = opened.text("#readout")
            assert said.startswith(f"{piece['name']} {edge['label']}: ")
            assert said.endswith(f", {edge['length']}")
            assert opened.texts(".edge-row.is-hovered .edge-length") == [edge["length"]]
    opened.move(opened.hands(), *opened.ground()).perform()
    assert opened.text("#readout") == ""


def test_a_click_on_every_edge_chooses_it(opened: "LivePage", page: Page) -> None:
    for piece in page.state("S")["pieces"]:
        for edge in piece["edges"]:
            opened.click(piece["name"], edge["label"])
            title = f"{piece['name']} {edge['label']}, {edge['length']}"
            assert opened.text("#actions-title") == title
            assert len(opened.texts(".edge-row.is-chosen")) == 1
            rings = opened.run(
                "return document.querySelectorAll('.edge-ring.is-chosen')"
            )
            assert len(rings) == 1


def test_targets_are_24_px_wide(opened: "LivePage") -> None:
    widths = set(
        opened.run(
            "return [...document.querySelectorAll('.target')].map(one => {"
            "const style = getComputedStyle(one);"
            "return `${style.strokeWidth} ${style.vectorEffect}`})"
        )
    )
    assert widths == {"24px non-scaling-stroke"}


def test_the_wheel_keeps_the_place_under_the_pointer(opened: "LivePage") -> None:
    x, y = opened.spot("front", "4")
    at = (round(x), round(y))
    before, scale = under(opened, at), view(opened).scale
    for amount, larger in ((-240, True), (120, False)):
        opened.ask(
            "Input.dispatchMouseEvent",
            type="mouseWheel",
            x=at[0],
            y=at[1],
            deltaX=0,
            deltaY=amount,
        )
        now = opened.until(
            "const box = document.getElementById('drawing');"
            "const scale = box.clientWidth / box.viewBox.baseVal.width;"
            "return Math.abs(scale - arguments[0]) > 1e-9 && scale",
            scale,
        )
        assert (now > scale) is larger
        scale = now
        assert near(under(opened, at), before, 0.01)


def test_a_drag_moves_the_picture_with_the_hand(opened: "LivePage") -> None:
    start = opened.ground()
    before = under(opened, start)
    opened.drag(start, (start[0] + 60, start[1] + 40))
    assert near(under(opened, (start[0] + 60, start[1] + 40)), before, 0.01)
    assert opened.texts(".edge-row.is-chosen") == []  # it was no click


def test_no_hand_moves_the_pieces_out_of_sight(opened: "LivePage") -> None:
    box = (
        "const one = document.getElementById('drawing').getBoundingClientRect();"
        "const all = [...document.querySelectorAll('.cloth')]"
        ".map(cloth => cloth.getBoundingClientRect());"
        "return [Math.max(...all.map(cloth => cloth.right)) - one.left,"
        " one.right - Math.min(...all.map(cloth => cloth.left)),"
        " Math.max(...all.map(cloth => cloth.bottom)) - one.top,"
        " one.bottom - Math.min(...all.map(cloth => cloth.top))]"
    )
    for way in (LEFT, RIGHT, UP, DOWN):
        opened.keys(*[way] * 40)
        assert min(opened.run(box)) >= 40
    opened.keys("0", *["-"] * 3)
    start = opened.ground()
    for x, y in ((-2000, 0), (2000, 0), (0, -2000), (0, 2000)):
        opened.keys("0", *["-"] * 3)
        width, height = opened.run("return [innerWidth, innerHeight]")
        end = (
            min(max(start[0] + x, 1), width - 2),
            min(max(start[1] + y, 1), height - 2),
        )
        for _ in range(3):
            opened.drag(start, end)
        assert min(opened.run(box)) >= 40


def test_keys_and_buttons_zoom_move_and_fit(opened: "LivePage") -> None:
    fitted = view(opened)
    opened.press("closer")
    assert view(opened).scale == pytest.approx(1.3 * fitted.scale)
    opened.press("farther")
    assert view(opened).scale == pytest.approx(fitted.scale)
    opened.run("document.getElementById('picture').focus()")
    opened.keys("+", "+")
    assert view(opened).scale == pytest.approx(1.69 * fitted.scale)
    before = view(opened)
    for key, way in (
        (RIGHT, (60, 0)),
        (DOWN, (60, 60)),
        (LEFT, (0, 60)),
        (UP, (0, 0)),
    ):
        opened.keys(key)
        now = view(opened)
        moved = ((now.x - before.x) * now.scale, (now.y - before.y) * now.scale)
        assert near(moved, way, 0.01)
    opened.keys("-")
    assert view(opened).scale == pytest.approx(1.3 * fitted.scale)
    opened.keys("0")
    assert view(opened) == pytest.approx(fitted)
    opened.keys("+")
    opened.press("fit")
    assert view(opened) == pytest.approx(fitted)


def test_two_fingers_zoom(opened: "LivePage") -> None:
    x, y = opened.ground()
    scale = view(opened).scale

    def touch(kind: str, *points: tuple[float, float]) -> None:
        opened.ask(
            "Input.dispatchTouchEvent",
            type=kind,
            touchPoints=[
                {"x": px, "y": py, "id": number}
                for number, (px, py) in enumerate(points)
            ],
        )

    touch("touchStart", (x, y))
    touch("touchStart", (x, y), (x + 40, y))
    for step in range(1, 9):
        touch("touchMove", (x, y), (x + 40 + 5 * step, y))
    touch("touchEnd")
    assert view(opened).scale == pytest.approx(2 * scale, rel=0.02)
    # One finger moves it.
    before = view(opened)
    touch("touchStart", (x, y))
    touch("touchMove", (x + 20, y))
    touch("touchMove", (x + 50, y + 10))
    touch("touchEnd")
    now = view(opened)
    moved = ((before.x - now.x) * now.scale, (before.y - now.y) * now.scale)
    assert near(moved, (50, 10), 1)


def test_a_tap_chooses(opened: "LivePage") -> None:
    x, y = opened.spot("back", "4")
    for kind, points in (("touchStart", [{"x": x, "y": y}]), ("touchEnd", [])):
        opened.ask("Input.dispatchTouchEvent", type=kind, touchPoints=points)
    assert opened.text("#actions-title").startswith("back 4, ")


def test_marks_of_places_lead_to_their_rows_and_back(
    opened: "LivePage", page: Page
) -> None:
    rows = page.state("S")["places"]
    marks = opened.run(
        "return [...document.querySelectorAll('.place:not(.is-left-out)')]"
        ".map(one => [one.dataset.place, one.getAttribute('aria-label')])"
    )
    assert marks
    for number, said in marks:
        row = next(row for row in rows if row["number"] == int(number))
        assert row["needs"] in said
    number = marks[0][0]
    opened.driver.find_element("css selector", f".place[data-place='{number}']").click()
    assert opened.run("return !document.getElementById('panel-figures').hidden")
    chosen = "return document.querySelector('#places-table .is-chosen').dataset.place"
    assert opened.run(chosen) == number
    other = str(rows[-1]["number"])
    opened.press(f"place-{other}")
    assert opened.run(chosen) == other
    current = opened.run(
        "const one = document.querySelector('.place[aria-current=true]');"
        "const box = one.getBoundingClientRect();"
        "const all = document.getElementById('drawing').getBoundingClientRect();"
        "return box.left >= all.left && box.right <= all.right"
        " && box.top >= all.top && box.bottom <= all.bottom"
    )
    assert current
