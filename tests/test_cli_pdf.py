"""``edgefinder schedule --pdf`` as it is typed."""

import subprocess
import sys
from pathlib import Path

import pytest
from command_line import APRON, SMOCK, refused, run, usage_error
from pdf_pages import bookmarks, read


def inches_of(path: Path) -> tuple[float, float]:
    box = read(path.read_bytes()).pages[0].mediabox
    return round(float(box.width) / 72, 2), round(float(box.height) / 72, 2)


LETTER = (8.5, 11.0)
A4 = (8.27, 11.69)


def test_it_writes_one_pdf_and_prints_nothing(tmp_path: Path) -> None:
    out = tmp_path / "apron.pdf"

    said = run("schedule", APRON, "--size", "M", "--pdf", out)

    assert (said.exit_code, said.out) == (0, "")
    assert f"wrote {out}" in said.err
    ((_, parts),) = bookmarks(out.read_bytes())
    assert [name for name, _ in parts] == [
        "All sizes",
        "Size M",
        "Cautions",
        "Settings",
    ]


def test_the_paper_follows_the_unit_unless_one_is_named(tmp_path: Path) -> None:
    out = tmp_path / "a.pdf"

    for job, words, wanted in (
        (APRON, (), LETTER),  # lengths in inches
        (SMOCK, (), A4),  # in centimetres
        (APRON, ("--paper", "a4"), A4),
        (SMOCK, ("--paper", "letter"), LETTER),
    ):
        assert run("schedule", job, "--pdf", out, *words).exit_code == 0
        assert inches_of(out) == wanted


def test_it_is_one_kind_of_output_and_paper_is_for_nothing_else(tmp_path: Path) -> None:
    out = tmp_path / "apron.pdf"

    for other in (["--json"], ["--csv", tmp_path], ["--html", out], ["--xlsx", out]):
        assert "--pdf" in usage_error("schedule", APRON, "--pdf", out, *other)
    assert "--pdf" in usage_error("schedule", APRON, "--paper", "a4")
    said = usage_error("schedule", APRON, "--pdf", out, "--paper", "a3")
    assert "'a4'" in said
    assert "'letter'" in said


def test_it_writes_over_its_own_pdf_but_over_no_other_file(tmp_path: Path) -> None:
    out = tmp_path / "apron.pdf"
    assert run("schedule", APRON, "--pdf", out).exit_code == 0
    assert run("schedule", APRON, "--size", "S", "--pdf", out).exit_code == 0

    for foreign in (b"%PDF-1.4\n1 0 obj <</Creator (a letter)>> endobj", b"a letter"):
        out.write_bytes(foreign)
        assert "pass --force" in refused("schedule", APRON, "--pdf", out)[0]
        assert out.read_bytes() == foreign

    assert run("schedule", APRON, "--pdf", out, "--force").exit_code == 0
    assert out.read_bytes().startswith(b"%PDF-")


def test_it_never_writes_over_what_it_reads(tmp_path: Path) -> None:
    for path in APRON.parent.glob("orchard-apron.*"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    job, drawing = tmp_path / APRON.name, tmp_path / "orchard-apron.svg"
    before = drawing.read_bytes()

    for path in (job, drawing):
        linked = path.with_suffix(".pdf")  # the same file by another name
        linked.hardlink_to(path)
        said = refused("schedule", job, "--pdf", linked, "--force")
        assert "not written over" in said[0]
        linked.unlink()
    assert drawing.read_bytes() == before


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    out = tmp_path / "nowhere" / "apron.pdf"

    assert "cannot be written" in refused("schedule", APRON, "--pdf", out)[0]


@pytest.mark.parametrize("missing", ["reportlab", "PIL"])
def test_a_library_that_is_missing_is_one_line_that_says_what_to_do(
    tmp_path: Path, missing: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in list(sys.modules):
        if name.startswith(("edgefinder.reports.pdf", "reportlab", "PIL")):
            monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, missing, None)
    out = tmp_path / "apron.pdf"

    (said,) = refused("schedule", APRON, "--pdf", out)

    assert said.startswith(f"{out}: ")
    assert "pip install reportlab" in said
    assert not out.exists()


def test_html_needs_no_library_of_the_pdf(tmp_path: Path) -> None:
    code = (
        "import sys; sys.modules['reportlab'] = None\n"
        "from edgefinder.cli.main import main; main()"
    )

    words = ["schedule", str(APRON), "--html", str(tmp_path / "a.html")]
    ended = subprocess.run(  # noqa: S603 - this interpreter, our own code
        [sys.executable, "-c", code, *words],
        capture_output=True,
        timeout=60,
        check=False,
    )

    assert ended.returncode == 0, ended.stderr
