"""Edges that are bound on their own: what is said of them, and with which tape."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conformance.pressed import SHIFT
from page_server import Page, running
from test_page_changes import HEAD, RUN, SQUARES, tapes_alone

if TYPE_CHECKING:
    from conformance.live_page import LivePage


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    (tmp_path / "p.svg").write_text(SQUARES, "utf-8")
    (tmp_path / "p.toml").write_text(HEAD + RUN, "utf-8")
    with running(tmp_path / "p.toml") as found:
        yield found


def test_every_run_is_told_that_edges_on_their_own_make(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    live.click("back", "1")
    live.click("back", "2", SHIFT)
    with live.saying("2 edges are bound in 2 runs: "):
        live.press("finish-bound")
    runs = {run["name"]: run for run in page.state("1")["runs"]}
    each = [
        f"{name}, {runs[name]['bound']} bound, {runs[name]['toCut']} of tape to cut"
        for name in ("back 1", "back 2")
    ]
    assert live.status == f"2 edges are bound in 2 runs: {'; '.join(each)}."
    assert runs["back 1"]["bound"] != runs["back 2"]["bound"]


def test_a_second_tape_is_made_and_chosen_for_edges_on_their_own(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    live.click("back", "1")
    assert live.texts("#bound-tape") == []  # there is one only
    with live.saying("back 1 is bound"):
        live.press("finish-bound")
    live.press("tab-cloth")
    live.press("new-tapes-title")
    live.find("new-tapes-name").send_keys("narrow")
    with live.saying("narrow is made"):
        live.press("new-tapes-make")
    live.click("front", "3")
    live.pick("bound-tape", "narrow")
    with live.saying("front 3 is bound"):
        live.press("finish-bound")
    assert tapes_alone(page.desk) == {"front 3": "narrow", "back 1": "main"}
    live.click("back", "2")
    assert live.value("bound-tape") == "main"  # as the others of the back
    with live.saying("back 2 is bound"):
        live.keys("b")
    assert tapes_alone(page.desk)["back 2"] == "main"


def test_the_name_of_a_run_is_not_kept_for_other_edges(
    live: "LivePage", page: Page
) -> None:
    live.open_on(page, "edges")
    live.click("back", "1")
    live.click("back", "3", SHIFT)  # they do not meet
    live.pick("bound-run", "a new run")
    live.find("bound-name").send_keys("two sides")
    live.press("finish-bound")
    assert "do not meet" in live.bar("mistakes")
    assert live.value("bound-name") == "two sides"
    live.click("back", "1")
    live.pick("bound-run", "a new run")
    assert live.value("bound-name") == ""


def test_a_split_edge_is_split_again_and_no_longer_at_its_notch(
    live: "LivePage", tmp_path: Path
) -> None:
    notch = '<path class="n" d="M60 10 v6"/><path class="n" d="M502.5 10 v6"/></svg>'
    (tmp_path / "p.svg").write_text(SQUARES.replace("</svg>", notch), "utf-8")
    head = HEAD.replace("\n\n", '\nnotches = ["class:n"]\n\n', 1)
    (tmp_path / "p.toml").write_text(head, "utf-8")
    with running(tmp_path / "p.toml") as page:
        live.open_on(page, "edges")
        edges = page.state("1")["pieces"][0]
        notched = next(
            edge
            for edge in edges["edges"]
            if edge["number"] == edges["notches"][0]["edge"]
        )["label"]
        live.click("front", notched)
        live.press("for-one-title")
        with live.saying(f"front {notched} is split"):
            live.press("split-notch-1")
        assert live.texts("#split-notch-1") == []
        part = live.chosen[0].removeprefix("front ")
        with live.saying(f"front {part} is split"):
            live.type_into("split-place", "50 %")
            live.press("split-edge")
        live.click("front", f"{notched}c")
        assert live.texts("#split-notch-1") == []
        with live.saying(f"front {notched}c is split"):
            live.find("split-place").send_keys("20 mm\n")
        lengths = [edge["length"] for edge in page.state("1")["pieces"][0]["edges"]]
        assert len(lengths) == 7
        assert "20 mm" in lengths
