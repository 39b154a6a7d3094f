"""Every exit code that ``docs/commands.md`` lists, in the cases that it names."""

import os
from pathlib import Path

import pytest
from command_line import APRON, DEMO, SMOCK, run, start

READER = "edgefinder.importers.formats.read_drawing"
DRAWING = DEMO / "orchard-apron.svg"


def test_0_done() -> None:
    assert run("lines", DRAWING).exit_code == 0
    assert run("compare", DRAWING, DRAWING).exit_code == 0
    assert run("--help").exit_code == 0


def test_1_done_and_something_differs(tmp_path: Path) -> None:
    wider = tmp_path / "smock.toml"
    text = SMOCK.read_text("utf-8").replace('"6 mm"', '"8 mm"')
    drawing = (DEMO / "puddle-smock.svg").as_posix()
    for name in ("puddle-smock.svg", "puddle-smock.dxf"):
        text = text.replace(name, drawing.replace("puddle-smock.svg", name))
    wider.write_text(text, "utf-8")

    said = run("compare", SMOCK, wider)

    assert said.exit_code == 1, said.err


def test_1_whatever_reads_the_output_went_away() -> None:
    reading, writing = os.pipe()
    os.close(reading)

    ended = start("lines", DRAWING, stdout=writing)
    os.close(writing)

    assert (ended.returncode, ended.stderr) == (1, b"")


@pytest.mark.parametrize(
    "typed",
    [
        ("lines", "nothere.svg"),
        ("schedule", "nothere.toml"),
        ("schedule",),
        ("sheddule", APRON),
        ("curves", APRON, "--size", "XXL"),
        ("lines", DRAWING, "--unit", "furlongs"),
        ("picture", APRON, "-o", "no/such/folder/p.svg"),
        ("words", APRON, "--run", "none"),
    ],
    ids=lambda typed: " ".join(map(str, typed)) if isinstance(typed, tuple) else typed,
)
def test_2_what_can_be_mended(
    typed: tuple[str | Path, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    said = run(*typed)

    assert (said.exit_code, said.out) == (2, "")
    assert "rror: " in said.err


def test_70_a_mistake_of_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(READER, fail)

    said = run("lines", DRAWING)

    assert said.exit_code == 70
    assert said.err.startswith("internal error: ")


def test_130_interrupted(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(READER, interrupt)

    assert run("lines", DRAWING).exit_code == 130
