"""Contrast of texts and lines, light, dark and in forced colours (WCAG 2.2)."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

import pytest
from conformance.live_scripts import TABS
from page_server import Page, demo_copy, running

if TYPE_CHECKING:
    from conformance.live_page import LivePage

TEXT: Final = 4.5
"""Of texts (1.4.3); large ones are held to it too."""
LINE: Final = 3.0
"""Of lines that mean something (1.4.11)."""

Colour = Sequence[float]

PAINT: Final = """
const paint = document.createElement("canvas")
  .getContext("2d", {willReadFrequently: true});
const rgb = text => {
  paint.clearRect(0, 0, 1, 1);
  paint.fillStyle = text;
  paint.fillRect(0, 0, 1, 1);
  return [...paint.getImageData(0, 0, 1, 1).data];
};
"""
LINES: Final = """
const cloth = getComputedStyle(document.querySelector(".cloth")).fill;
return [...document.querySelectorAll("#drawing .edge-line, #drawing .run-line")]
  .filter(one => !one.matches(".is-under"))
  .map(one => [one.getAttribute("class"),
    rgb(getComputedStyle(one).stroke), rgb(cloth)]);
"""
TEXTS: Final = """
const ground = one => {
  for (let at = one; at; at = at.parentElement) {
    const colour = rgb(getComputedStyle(at).backgroundColor);
    if (colour[3] === 255) return colour;
  }
  return [255, 255, 255, 255];
};
const own = one => [...one.childNodes].some(node =>
  node.nodeType === Node.TEXT_NODE && node.data.trim());
return [...document.querySelectorAll("body *")].filter(one =>
    own(one) && one.checkVisibility()
    && !one.closest("svg, [disabled], .unseen, option"))
  .map(one => [one.id || one.className || one.tagName,
    rgb(getComputedStyle(one).color), ground(one)]);
"""
LABELS: Final = """
const page = getComputedStyle(document.getElementById("picture"));
const cloth = getComputedStyle(document.querySelector(".cloth")).fill;
return [...document.querySelectorAll("#drawing .label text, #drawing .place text")]
  .filter(one => !one.closest(".is-left-out"))
  .map(one => {
    const behind = one.parentElement.querySelector(
      one.parentElement.matches(".place") ? ":scope > path" : ":scope > rect");
    const style = behind && getComputedStyle(behind);
    const fill = style ? rgb(style.fill) : rgb(cloth);
    return [one.parentElement.getAttribute("class"),
      rgb(getComputedStyle(one).fill), fill];
  });
"""

FORCED: Final = """
const names = ["Canvas", "CanvasText", "Highlight"];
const known = new Set(["none", "rgba(0, 0, 0, 0)"]);
for (const name of names) {
  const probe = document.body.appendChild(document.createElement("i"));
  probe.style.color = name;
  known.add(getComputedStyle(probe).color);
  probe.remove();
}
return [...document.querySelectorAll("#drawing :is(path, rect, text), .sample path")]
  .flatMap(one => ["fill", "stroke"].map(what =>
    [one.getAttribute("class"), what, getComputedStyle(one)[what]]))
  .filter(([, , colour]) => !known.has(colour));
"""
"""What is drawn in any other colour than those of the person."""
MARKED: Final = """
const border = (selector, side) =>
  getComputedStyle(document.querySelector(selector))[`border${side}Color`];
return [
  getComputedStyle(document.querySelector(".edge-ring.is-chosen")).stroke
    !== getComputedStyle(document.querySelector(".cloth")).fill,
  border(".edge-row.is-chosen", "Left") !== border(".edge-row:not(.is-chosen)", "Left"),
  border("[role=tab][aria-selected=true]", "Bottom")
    !== border("[role=tab][aria-selected=false]", "Bottom"),
];
"""
"""Whether what is chosen is marked: in the picture, in the list, among the tabs."""

FORCED_SCHEMES: Final = {
    "forced": {"forced": True},
    "forced-dark": {"dark": True, "forced": True},
}
SCHEMES: Final = {"light": {}, "dark": {"dark": True}, **FORCED_SCHEMES}

in_every_scheme = pytest.mark.parametrize("scheme", SCHEMES.values(), ids=SCHEMES)
in_forced_colours = pytest.mark.parametrize(
    "scheme", FORCED_SCHEMES.values(), ids=FORCED_SCHEMES
)
Scheme = dict[str, bool]


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("contrast"))) as found:
        yield found


@pytest.fixture(scope="module")
def opened(live: "LivePage", page: Page) -> "LivePage":
    """The page with its legend and with an edge that is chosen."""
    live.open(page)
    live.press("legend")
    live.click("front", "4")
    return live


def luminance(colour: Colour) -> float:
    parts = [value / 255 for value in colour[:3]]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def too_low(
    found: Sequence[tuple[str, Colour, Colour]], least: float
) -> list[tuple[str, float]]:
    """What does not stand out enough from its ground."""
    return [
        (name, round(contrast(one, ground), 2))
        for name, one, ground in found
        if contrast(one, ground) < least
    ]


def test_the_formula_gives_the_known_contrasts() -> None:
    """WCAG's own ends of the scale, and the grey that is just enough on white."""
    assert contrast([0, 0, 0], [255, 255, 255]) == pytest.approx(21.0)
    assert contrast([255, 0, 0], [255, 0, 0]) == pytest.approx(1.0)
    assert contrast([118, 118, 118], [255, 255, 255]) == pytest.approx(4.54, abs=0.005)


@in_every_scheme
def test_lines_of_the_picture_stand_out(opened: "LivePage", scheme: Scheme) -> None:
    opened.prefer(**scheme)
    lines = opened.run(PAINT + LINES)
    assert len(lines) > 10
    assert too_low(lines, LINE) == []


@in_every_scheme
def test_texts_can_be_read_on_every_list(opened: "LivePage", scheme: Scheme) -> None:
    opened.prefer(**scheme)
    for tab in TABS:
        opened.press(f"tab-{tab}")
        texts = opened.run(PAINT + TEXTS)
        assert len(texts) > 20
        assert too_low(texts, TEXT) == [], tab


@in_every_scheme
def test_labels_of_the_picture_can_be_read(opened: "LivePage", scheme: Scheme) -> None:
    opened.prefer(**scheme)
    labels = opened.run(PAINT + LABELS)
    assert len(labels) > 15
    assert too_low(labels, TEXT) == []


@in_forced_colours
def test_the_picture_is_drawn_in_the_colours_that_are_forced(
    opened: "LivePage", scheme: Scheme
) -> None:
    """No browser forces the lines of a drawing: the style sheet has to."""
    opened.prefer(**scheme)
    assert opened.run("return matchMedia('(forced-colors: active)').matches")
    assert opened.run(FORCED) == []
    opened.prefer()
    assert opened.run(FORCED) != []  # it can tell


@in_forced_colours
def test_what_is_chosen_is_marked_in_forced_colours(
    opened: "LivePage", scheme: Scheme
) -> None:
    opened.press("tab-edges")
    opened.prefer(**scheme)
    assert opened.run(MARKED) == [True, True, True]


@in_every_scheme
def test_what_lies_flat_badly_can_be_told_apart(
    opened: "LivePage", scheme: Scheme
) -> None:
    opened.prefer(**scheme)
    kinds = opened.run(
        "return [...document.querySelectorAll('#legend-list .band')].map(one => {"
        "const {fill, stroke, strokeDasharray} = getComputedStyle(one);"
        "return `${fill} ${stroke} ${strokeDasharray}`; })"
    )
    assert len(set(kinds)) == len(kinds) == 3


def test_lines_of_the_picture_differ_by_more_than_colour(
    opened: "LivePage", page: Page
) -> None:
    opened.prefer()
    kinds = opened.run(
        "return [...document.querySelectorAll('#legend-list .edge-line, "
        "#legend-list .run-line')].map(one => { const style = getComputedStyle(one);"
        " return `${style.strokeDasharray} ${style.strokeWidth}`; })"
    )
    # Fold, hem, facing, raw, seam and bound; the runs have letters beside them.
    assert len(set(kinds[:6])) == 6
    assert len(kinds) == 6 + len(page.state("S")["runs"])
