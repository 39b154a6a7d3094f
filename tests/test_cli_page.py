"""``edgefinder page`` from the command line."""

import builtins
import re
import stat
import subprocess
import sys
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.request import url2pathname

import pytest
from click.testing import CliRunner, Result
from page_server import demo_copy

from edgefinder.cli.main import main
from edgefinder.errors import OutputError
from edgefinder.page import desk as desk_module
from edgefinder.page import serving
from edgefinder.page.desk import Desk
from edgefinder.page.serving import Address, opening_file

ADDRESS = Address("http://127.0.0.1:8000/#a&<b>")


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """What is served, without serving it."""
    found: list[Path] = []

    def serve(desk: Desk, tell: Callable[[Address], None]) -> None:
        found.append(desk.path)
        tell(ADDRESS)

    monkeypatch.setattr(serving, "serve", serve)
    return found


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, ["page", *map(str, arguments)])


def test_a_job_file_is_opened_as_it_is(tmp_path: Path, opened: list[Path]) -> None:
    job = demo_copy(tmp_path)
    before = job.read_bytes()
    done = run(job, "--no-open")
    assert done.exit_code == 0, done.output
    assert opened == [job]
    assert ADDRESS.url in done.stderr
    assert job.read_bytes() == before


def test_a_drawing_gets_a_job_file_beside_it(
    tmp_path: Path, opened: list[Path]
) -> None:
    job = demo_copy(tmp_path)
    job.unlink()
    done = run(tmp_path / "orchard-apron.svg", "--unit", "in", "--no-open")
    assert done.exit_code == 0, done.output
    assert opened == [job]
    text = job.read_text("utf-8")
    assert 'drawings = ["orchard-apron.svg"]' in text
    assert 'unit = "in"' in text


def test_a_job_file_that_is_there_is_not_written_over(
    tmp_path: Path, opened: list[Path]
) -> None:
    job = demo_copy(tmp_path)
    before = job.read_bytes()
    done = run(tmp_path / "orchard-apron.svg", "--no-open")
    assert "is there already and is opened" in done.stderr
    assert opened == [job]
    assert job.read_bytes() == before


@pytest.mark.usefixtures("opened")
def test_what_is_typed_beside_a_job_file_that_is_there_is_not_lost_without_a_word(
    tmp_path: Path,
) -> None:
    demo_copy(tmp_path)
    done = run(tmp_path / "orchard-apron.svg", "--unit", "in", "--no-open")
    assert "what you typed here does not change it" in done.stderr


def test_a_change_that_cannot_be_saved_is_not_called_saved_at_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = demo_copy(tmp_path)

    def full(_: object) -> bytes:
        raise OutputError("orchard-apron.toml: cannot be written: disk full")

    def serve(desk: Desk, tell: Callable[[Address], None]) -> None:
        tell(ADDRESS)
        monkeypatch.setattr(desk_module, "write_edited", full)
        text = f"{desk.path.read_text('utf-8')}\n# more\n"
        desk.change(desk.look().revision, "more", lambda _draft, _text: [text])

    monkeypatch.setattr(serving, "serve", serve)
    done = run(job, "--no-open")
    assert done.exit_code == 2
    assert "disk full; the last changes are not in" in done.stderr
    assert "all changes are in" not in done.stderr


@pytest.mark.parametrize("has_browser", [True, False])
def test_the_address_is_said_to_whoever_gets_no_browser(
    tmp_path: Path,
    opened: list[Path],
    monkeypatch: pytest.MonkeyPatch,
    has_browser: bool,
) -> None:
    job = demo_copy(tmp_path)
    monkeypatch.setattr(webbrowser, "open", lambda _: has_browser)

    said = [
        CliRunner().invoke(main, ["--quiet", "page", str(job), *options]).stderr
        for options in ([], ["--no-open"])
    ]

    address = f"the page is at {ADDRESS.url}\n"
    assert opened == [job, job]
    assert said == ["" if has_browser else address, address]


@pytest.mark.parametrize("names", [(), ("a.toml", "b.toml"), ("a.toml", "b.svg")])
def test_one_job_file_or_drawings_alone(names: tuple[str, ...]) -> None:
    assert run(*names).exit_code == 2


@pytest.mark.parametrize(
    ("name", "text"), [("a.toml", "x = ["), ("a.svg", "<svg"), ("gone.toml", None)]
)
def test_a_mistake_is_one_line_and_nothing_is_served(
    tmp_path: Path, opened: list[Path], name: str, text: str | None
) -> None:
    if text is not None:
        (tmp_path / name).write_text(text, "utf-8")
    before = sorted(tmp_path.iterdir())
    done = run(tmp_path / name, "--no-open")
    assert done.exit_code == 2
    assert name in done.stderr
    assert not opened
    assert sorted(tmp_path.iterdir()) == before


def test_the_libraries_of_the_page_may_be_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.startswith(("flask", "edgefinder.page")):
            raise ModuleNotFoundError("No module named 'flask'", name="flask")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    done = run(demo_copy(tmp_path))
    assert done.exit_code == 2
    assert 'in the folder of edgefinder, type: pip install ".[page]"' in done.stderr


def test_the_file_that_opens_a_browser_is_for_this_user_alone() -> None:
    with opening_file(ADDRESS) as path:
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
        text = path.read_text("utf-8")
        assert "url=http://127.0.0.1:8000/#a&amp;&lt;b&gt;" in text
    assert not path.exists()


def test_the_browser_is_given_that_file_and_not_the_token(
    tmp_path: Path, opened: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[str] = []

    def look(url: str) -> bool:
        assert Path(url2pathname(url.removeprefix("file://"))).exists()
        given.append(url)
        return True

    monkeypatch.setattr(webbrowser, "open", look)
    assert run(demo_copy(tmp_path)).exit_code == 0
    assert opened
    (url,) = given
    assert url.startswith("file://")
    assert "#" not in url


def test_ctrl_c_stops_it_and_says_that_all_is_kept(tmp_path: Path) -> None:
    job = demo_copy(tmp_path)
    command = [sys.executable, "-m", "edgefinder", "page", str(job), "--no-open"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as page:  # noqa: S603
        assert page.stderr is not None
        for line in page.stderr:
            if re.search(r"http://127\.0\.0\.1:\d+/#\S{40,}", line):
                break
        page.send_signal(2)
        said = page.stderr.read()
        assert page.wait(20) == 0
    assert f"all changes are in {job}" in said
