"""Labels of the picture: on their own piece, not cut off, of a size to read."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import pytest
from page_server import Page, running
from sheet_cases import write_drawing, write_job

if TYPE_CHECKING:
    from conformance.live_page import LivePage

WIDTHS: Final = (320, 360, 800, 1280)

BACK: Final = "back with a yoke, of the outer cloth"
ROUND: Final = "round base of the large bag"
POCKET: Final = "coin pocket"

JOB: Final = f"""unit = "mm"
seam_allowance = "10 mm"
[fabric]
cloth = "quilting cotton"
usable_width = "110 cm"
[[tapes]]
name = "main"
finished_width = "9 mm"
[[pieces]]
name = "{BACK}"
bound = [3]
edge_names = {{ "armhole of the back on the left" = "3" }}
[[pieces]]
name = "{ROUND}"
bound = [1]
[[pieces]]
name = "{POCKET}"
bound = [2]
"""

SHAPES: Final = {
    BACK: "M 30 108 L 191 80 L 329 80 L 490 108 L 490 900 L 30 900 Z",
    "front": "M 700 150 L 770 80 L 870 108 L 935 320 L 935 900 L 700 900 Z",
    "tie belt, extra long": "M 30 970 L 1230 970 L 1230 1000 L 30 1000 Z",
    POCKET: "M 30 1080 L 90 1080 L 90 1150 L 30 1150 Z",
    ROUND: "M 150 1120 A 70 70 0 0 1 290 1120 A 70 70 0 0 1 150 1120 Z",
    "sleeve": "M 350 1120 L 440 1070 L 530 1120 L 510 1300 L 370 1300 Z",
}

ON_OTHERS: Final = """
const seen = [...document.querySelectorAll("#drawing .label")]
  .filter(one => !one.closest(".is-left-out"));
const cloths = [...document.querySelectorAll("#drawing .cloth")];
const nameOf = cloth => cloth.querySelector("title").textContent;
const found = [];
for (const label of seen) {
  const box = label.getBoundingClientRect();
  const text = label.querySelector("text").textContent;
  const start = text.replace(/(…|, cut \\d+)$/, "");
  const owner = label.dataset.piece
    ?? cloths.map(nameOf).find(name => name.startsWith(start));
  for (const cloth of cloths.filter(one => nameOf(one) !== owner)) {
    const back = cloth.getScreenCTM().inverse();
    const steps = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1];
    const hit = steps.some(i => steps.some(j => {
      const at = new DOMPoint(box.left + i * box.width, box.top + j * box.height);
      return cloth.isPointInFill(at.matrixTransform(back));
    }));
    if (hit) found.push([text, nameOf(cloth)]);
  }
}
return [seen.length, found];
"""
"""How many labels are seen, and those that lie on the cloth of another piece."""

CUT_OFF: Final = """
const all = document.getElementById("drawing").getBoundingClientRect();
return [...document.querySelectorAll("#drawing .label, #drawing .place")]
  .filter(one => !one.closest(".is-left-out"))
  .filter(one => {
    const box = one.getBoundingClientRect();
    return box.left < all.left || box.right > all.right
      || box.top < all.top || box.bottom > all.bottom;
  }).map(one => one.textContent);
"""
FITTED: Final = """
const one = document.getElementById("drawing"), box = one.viewBox.baseVal;
return Math.abs(box.width / box.height - one.clientWidth / one.clientHeight) < 1e-3;
"""
NAMES: Final = """
return [...document.querySelectorAll("#drawing .label.is-piece:not(.is-left-out)")]
  .map(one => [one.textContent, one.getBoundingClientRect().width]);
"""
CLOTHS: Final = """
return [...document.querySelectorAll("#drawing .cloth")].map(one =>
  [one.querySelector("title").textContent, one.getBoundingClientRect().width]);
"""
LETTERS: Final = """
return document.querySelector("#drawing .label[data-edge]:not(.is-left-out) text")
  .getBoundingClientRect().height;
"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    folder = tmp_path_factory.mktemp("labels")
    body = "".join(
        f'<path d="{data}" fill="none" stroke="#000"><title>{name}</title></path>'
        for name, data in SHAPES.items()
    )
    grain = '<path class="grain" d="M 440 1140 V 1280" fill="none" stroke="#000"/>'
    write_drawing(folder, body + grain)
    with running(write_job(folder, JOB)) as found:
        assert {piece["name"] for piece in found.state()["pieces"]} == set(SHAPES)
        yield found


@pytest.mark.parametrize("width", WIDTHS)
def test_labels_lie_on_no_other_piece_and_are_not_cut_off(
    live: "LivePage", page: Page, width: int
) -> None:
    live.open_past(page, width)
    live.until(FITTED)
    assert live.run(CUT_OFF) == []
    for _ in range(4):
        count, on_others = live.run(ON_OTHERS)
        assert count >= 10
        assert on_others == []
        live.press("closer")


@pytest.mark.parametrize("width", WIDTHS)
def test_a_name_is_little_wider_than_its_piece(
    live: "LivePage", page: Page, width: int
) -> None:
    live.open_past(page, width)
    live.until(FITTED)
    cloths = dict(live.run(CLOTHS))
    assert set(cloths) == set(SHAPES)  # the whole name, for who points at a piece
    names = live.run(NAMES)
    assert names
    for text, wide in names:
        start = text.removesuffix("…")
        (piece,) = [name for name in SHAPES if name.startswith(start)]
        assert len(start) >= 3, text
        assert text == piece or text.endswith("…")
        assert wide <= max(cloths[piece] + 32, 56) + 1, text


def test_a_long_name_of_an_edge_is_shortened_and_said_in_full(
    live: "LivePage", page: Page
) -> None:
    live.open_past(page)
    (text,) = live.texts(f"#drawing .label[data-piece='{BACK}'].is-bound text")
    assert text.startswith("armhole of")
    assert "… " in text
    named = "armhole of the back on the left"
    assert live.run(
        "return document.querySelector(arguments[0]).textContent",
        f".target[data-label='{named}'] title",
    ).startswith(f"{BACK} {named}: ")


def test_a_name_leaves_the_grain_line_free(live: "LivePage", page: Page) -> None:
    live.open_past(page)
    live.until(FITTED)
    for _ in range(3):
        crossed = live.run(
            "const grain = document.querySelector('#drawing .grain')"
            ".getBoundingClientRect();"
            "return [...document.querySelectorAll('#drawing .label.is-piece')]"
            ".filter(one => !one.closest('.is-left-out')).filter(one => {"
            "const box = one.getBoundingClientRect();"
            "return box.left < grain.right && box.right > grain.left"
            " && box.top < grain.bottom && box.bottom > grain.top;})"
            ".map(one => one.textContent)"
        )
        assert crossed == []
        live.press("closer")


def test_letters_of_the_picture_grow_with_those_of_the_page(
    live: "LivePage", page: Page
) -> None:
    live.open_past(page)
    usual = live.run(LETTERS)
    live.run("document.documentElement.style.fontSize = '200%'")
    live.until(f"return (() => {{ {LETTERS} }})() > {1.9 * usual}")
    assert live.run(LETTERS) == pytest.approx(2 * usual, rel=0.05)
    live.until(FITTED)
    _, on_others = live.run(ON_OTHERS)
    assert on_others == []
