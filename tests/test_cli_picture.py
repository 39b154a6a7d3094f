"""``edgefinder picture`` as it is typed."""

import shutil
from pathlib import Path
from xml.etree import ElementTree

from command_line import APRON, DEMO, refused, run, usage_error

from edgefinder.cli.main import CAN_BE_MENDED


def demo(folder: Path) -> Path:
    shutil.copytree(DEMO, folder / "demo")
    return folder / "demo" / APRON.name


def test_it_writes_one_svg_and_says_so(tmp_path: Path) -> None:
    out = tmp_path / "m.svg"

    said = run("picture", APRON, "--size", "M", "--piece", "pocket", "-o", out)

    assert (said.exit_code, said.out, said.err) == (0, "", f"wrote {out}\n")
    text = out.read_text("utf-8")
    assert ElementTree.fromstring(text).tag.endswith("svg")  # noqa: S314
    assert ">pocket<" in text
    assert ">front<" not in text
    assert ">Size M<" in text
    assert ">Size S<" not in text


def test_it_needs_a_file_to_write() -> None:
    assert "-o" in usage_error("picture", APRON)


def test_a_piece_that_is_not_there_is_named_with_the_nearest(tmp_path: Path) -> None:
    out = tmp_path / "m.svg"

    assert refused("picture", APRON, "--piece", "poket", "-o", out) == [
        '--piece: there is no piece "poket"; did you mean "pocket"?'
    ]
    assert not out.exists()


def test_it_writes_over_its_own_picture_but_over_nothing_else(tmp_path: Path) -> None:
    job, out = demo(tmp_path), tmp_path / "m.svg"
    drawing = job.with_suffix(".svg")
    before = drawing.read_bytes()

    assert run("picture", job, "-o", out).exit_code == 0
    assert run("picture", job, "-o", out).exit_code == 0
    for force in ((), ("--force",)):
        said = run("picture", job, "-o", drawing, *force)
        assert said.exit_code == CAN_BE_MENDED
        assert "not written over" in said.err
    assert drawing.read_bytes() == before
    out.write_text("<svg/>", encoding="utf-8")
    assert "pass --force" in refused("picture", job, "-o", out)[0]
    assert run("picture", job, "-o", out, "--force").exit_code == 0
