"""What a page takes in and hands out."""

import io
import json
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from page_server import Page, demo_copy, running
from test_page_changes import SQUARES

from edgefinder.cli.main import main
from edgefinder.errors import EdgefinderError
from edgefinder.page.arriving import keep_drawing
from edgefinder.schedule.new_job import write_new_job
from edgefinder.units import Unit


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(demo_copy(tmp_path_factory.mktemp("files"))) as found:
        yield found


def written_by_command(page: Page, folder: Path, option: str, name: str) -> Path:
    """Let the command write the same file."""
    target = folder / name
    done = CliRunner().invoke(main, ["schedule", str(page.job), option, str(target)])
    assert done.exit_code == 0, done.output
    return target


@pytest.mark.parametrize("kind", ["html", "pdf"])
def test_files_are_those_of_the_command(page: Page, tmp_path: Path, kind: str) -> None:
    answer = page.post("/api/file", kind=kind)
    assert answer.status == 200
    assert f"orchard-apron.{kind}" in answer.headers["Content-Disposition"]
    path = written_by_command(page, tmp_path, f"--{kind}", f"x.{kind}")
    assert answer.body == path.read_bytes()


def test_the_workbook_is_that_of_the_command(page: Page, tmp_path: Path) -> None:
    answer = page.post("/api/file", kind="xlsx")
    path = written_by_command(page, tmp_path, "--xlsx", "x.xlsx")
    ours, theirs = (
        zipfile.ZipFile(io.BytesIO(data)) for data in (answer.body, path.read_bytes())
    )
    assert ours.namelist() == theirs.namelist()
    for name in ours.namelist():
        if name != "docProps/core.xml":
            assert ours.read(name) == theirs.read(name)


@pytest.mark.parametrize(("kind", "option"), [("csv", "--csv"), ("charts", "--charts")])
def test_tables_and_charts_are_those_of_the_command(
    page: Page, tmp_path: Path, kind: str, option: str
) -> None:
    answer = page.post("/api/file", kind=kind)
    folder = written_by_command(page, tmp_path, option, "out")
    archive = zipfile.ZipFile(io.BytesIO(answer.body))
    found = {name: archive.read(name) for name in archive.namelist()}
    assert found == {path.name: path.read_bytes() for path in folder.iterdir()}


def test_an_unknown_file_is_refused(page: Page) -> None:
    answer = page.post("/api/file", kind="doc")
    assert answer.status == 422
    assert "html" in answer.data["mistakes"][0]


def test_another_width_is_tried_and_not_written(page: Page) -> None:
    before = page.job.read_bytes()
    state = page.state("M")
    (widths,) = (t for t in state["tables"] if "finished width" in t["head"])
    for row in widths["rows"]:
        tried = page.post("/api/try", size="M", tape="main", width=row[0]).data
        assert [str(tried["steam"]), str(tried["tooTight"])] == row[1:3]
    assert page.post("/api/try", size="M", tape="main", width="9").status == 422
    assert page.post("/api/try", size="M", tape="red", width="9 mm").status == 422
    assert page.post("/api/try", size="Q", tape="main", width="9 mm").status == 422
    assert page.post("/api/try", size="M", tape="main", width="0 mm").status == 422
    assert page.job.read_bytes() == before


def drop(page: Page, name: str, data: bytes) -> tuple[int, dict[str, object]]:
    page.state()
    answer = page.ask(
        "POST",
        f"/api/drawing?name={name}&revision={page.revision}",
        data,
        {"Content-Type": "application/octet-stream"},
    )
    return answer.status, answer.data


def test_a_dropped_drawing_is_kept_beside_the_job(tmp_path: Path) -> None:
    job = demo_copy(tmp_path)
    job.write_text(
        job.read_text("utf-8").replace('cut_lines = ["class:cut"]', ""), "utf-8"
    )
    cuffs = SQUARES.replace("front", "cuff").replace("back", "collar")
    cuffs = cuffs.replace("Size-1", "Size-M").replace("Size-2", "Size-L")
    with running(job) as page:
        status, data = drop(page, "squares.svg", cuffs.encode())
        assert status == 200, data
        assert (tmp_path / "squares.svg").read_text("utf-8") == cuffs
        assert 'drawings = ["orchard-apron.svg", "squares.svg"]' in job.read_text()
        assert drop(page, "squares.svg", cuffs.encode())[0] == 200  # the same again
        status, data = drop(page, "squares.svg", b"<svg/>")
        assert status == 422
        assert "not written over" in json.dumps(data)
        assert (tmp_path / "squares.svg").read_text("utf-8") == cuffs


@pytest.mark.parametrize(
    ("listed", "name", "expected"),
    [
        ("sub/p.svg", "q.svg", ["sub/p.svg", "q.svg"]),
        ("../here/p.svg", "p.svg", ["../here/p.svg"]),  # it is this one
        ("p.svg", "my%20%20pocket.svg", ["p.svg", "my  pocket.svg"]),
        ("", "q.svg", ["q.svg"]),
    ],
)
def test_a_dropped_drawing_is_listed_after_those_that_are_there(
    tmp_path: Path, listed: str, name: str, expected: list[str]
) -> None:
    folder = tmp_path / "here"
    (folder / "sub").mkdir(parents=True)
    cuffs = SQUARES.replace("front", "cuff").replace("back", "collar")
    for path in ("p.svg", "sub/p.svg"):
        (folder / path).write_text(SQUARES, "utf-8")
    job = folder / "job.toml"
    top = f'drawings = ["{listed}"]   # mine\n' if listed else ""
    tape = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
    job.write_text(f"{top}{tape}", "utf-8")
    with running(job) as page:
        dropped = SQUARES if name == "p.svg" else cuffs
        status, data = drop(page, name, dropped.encode())
    assert status == 200, data
    text = job.read_text("utf-8")
    assert tomllib.loads(text)["drawings"] == expected
    assert not top or "]   # mine\n[[tapes]]" in text


@pytest.mark.parametrize(
    "name",
    ["", ".svg", "a.exe", "..", "../../etc/x", "a.toml", "a" * 200 + ".svg", "x\0.exe"],
)
def test_only_drawings_are_kept(tmp_path: Path, name: str) -> None:
    with pytest.raises(EdgefinderError):
        keep_drawing(tmp_path, name, b"<svg/>")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "name", ["../b.svg", "/x/b.svg", "C:\\x\\b.svg", "a/../../b.svg"]
)
def test_a_drawing_stays_in_the_folder_of_the_job(tmp_path: Path, name: str) -> None:
    assert keep_drawing(tmp_path, name, b"<svg/>") == (tmp_path / "b.svg", True)


def test_a_drawing_that_cannot_be_read_is_not_taken_in(tmp_path: Path) -> None:
    job = demo_copy(tmp_path)
    before = job.read_bytes()
    with running(job) as page:
        status, data = drop(page, "broken.svg", b"<svg")
        assert status == 422
        assert "broken.svg" in json.dumps(data)
    assert job.read_bytes() == before
    assert not (tmp_path / "broken.svg").exists()


def test_a_page_on_drawings_begins_a_job_file(tmp_path: Path) -> None:
    drawings = [tmp_path / "body.svg", tmp_path / "arm.svg"]
    drawings[0].write_text(SQUARES, "utf-8")
    arms = SQUARES.replace("front", "sleeve").replace("back", "cuff")
    drawings[1].write_text(arms, "utf-8")
    job = tmp_path / "both.toml"
    write_new_job(drawings, job, Unit.INCH)
    with running(job) as page:
        state = page.state()
        names = [piece["name"] for piece in state["pieces"]]
        assert sorted(names) == ["back", "cuff", "front", "sleeve"]
        assert state["unit"] == "in"
        assert state["runs"] == []
        assert state["missing"]
