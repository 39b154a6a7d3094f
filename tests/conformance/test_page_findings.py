"""What the list of findings says when something is wrong."""

from pathlib import Path
from typing import TYPE_CHECKING

from page_server import running
from test_page_changes import HEAD, RUN, SQUARES

if TYPE_CHECKING:
    from conformance.live_page import LivePage


def test_a_drawing_that_cannot_be_read_is_not_said_to_be_usual(
    live: "LivePage", tmp_path: Path
) -> None:
    (tmp_path / "p.svg").write_text(SQUARES, "utf-8")
    (tmp_path / "p.toml").write_text(HEAD + RUN, "utf-8")
    with running(tmp_path / "p.toml") as page:
        live.open_on(page, "findings")
        readings = "section[aria-labelledby=readings-title]"
        assert "Nothing unusual." in live.text(readings)
        with live.saying("1 to be mended"):
            (tmp_path / "p.svg").write_text("<svg", "utf-8")
        assert "Nothing could be read" in live.text(readings)
        assert "Nothing unusual." not in live.text(readings)
        assert len(live.texts("#mistakes li")) == 1


def test_where_it_is_mended_is_said(live: "LivePage", tmp_path: Path) -> None:
    (tmp_path / "p.svg").write_text(SQUARES, "utf-8")
    (tmp_path / "p.toml").write_text(f"wheels = 4\n{HEAD}{RUN}", "utf-8")
    with running(tmp_path / "p.toml") as page:
        live.open_on(page, "findings")
        assert "wheels" in live.text("#mistakes")
        assert "in the job file, p.toml, with any text editor" in live.text(".to-mend")
