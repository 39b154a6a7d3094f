"""``edgefinder swatch`` as it is typed, and the cloths that it writes."""

import tomllib
from pathlib import Path

import pytest
from command_line import (
    TOP_KEYS,
    assert_fits,
    assert_printable,
    contents,
    job,
    refused,
    run,
    sheet,
    start,
    unchanged,
    usage_error,
)

MEASURED = ("swatch", "--marked", "100mm", "--stretched", "118mm")
EASED = (*MEASURED, "--eased", "95mm")
FIGURES = {
    "stretch_ok_percent": 12,
    "stretch_limit_percent": 18,
    "ease_ok_percent": 3.3,
    "ease_limit_percent": 5,
}
JOB = """
# of the barn
[fabric]
cloth = "lawn"      # for now

[[tapes]]
name = "main"
finished_width = "9 mm"

[[runs]]
name = "neck"
tape = "main"
edges = ["bib 3"]
"""


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The path of an own list that is not there yet."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    return tmp_path / "settings" / "edgefinder" / "cloths.toml"


def bib_job(folder: Path, text: str = JOB) -> Path:
    """Write a bib with a neck of 60 mm and a job file for it."""
    sheet(folder, '<path id="bib" d="M 0 200 V 0 H 140 A 60 60 0 0 0 200 60 V 200 Z"/>')
    return job(folder, text)


def cloths(path: Path) -> list[dict[str, object]]:
    found: list[dict[str, object]] = tomllib.loads(path.read_text("utf-8"))["cloths"]
    return found


# What is said


def test_a_strip_is_turned_into_what_the_cloth_gives() -> None:
    said = run(*MEASURED)

    assert (said.exit_code, said.err) == (0, "")
    assert said.out.startswith("stretch: 18 % at most, 12 % easily (")
    assert "ease: not measured" in said.out
    assert_fits(said.out)


def test_widths_and_load_are_held_against_a_net_of_threads() -> None:
    said = run(
        *EASED, "--width-before", "25mm", "--width-after", "20mm", "--load", "100 g"
    )

    words = " ".join(said.out.split())
    assert "ease: 5 % at most, 3.3 % easily" in words
    # 25 sqrt(2 - 1.18^2) = 19.49 mm
    assert "width: 20.0 mm, where a net of threads would be 19.5 mm: as far as" in words
    # 0.980665 N / 0.025 m = 39.23 N/m; sin g = 0.3924, g = 0.40325, cos g = 0.91979:
    # 39.23 x 0.91979 / (2 x 0.40325 x 1.18) = 37.9
    assert "resistance to shear: G = 37.9 N/m" in words


@pytest.mark.parametrize(
    ("after", "said"),
    [
        ("24mm", "the threads themselves have stretched"),
        ("15mm", "threads have slipped at their crossings"),
    ],
)
def test_threads_that_gave_are_told_and_no_rigidity(after: str, said: str) -> None:
    widths = ("--width-before", "25mm", "--width-after", after)

    words = " ".join(run(*MEASURED, *widths, "--load", "1 N").out.split())

    assert said in words
    assert "cannot be told where the threads are not those of a net" in words


def test_a_load_without_a_width_says_what_is_missing() -> None:
    assert "cannot be told without --width-before\n" in run(*MEASURED, "--load=1N").out


def test_inches_are_answered_in_inches() -> None:
    # 1 in x sqrt(2 - 1.1875^2) = 0.768 in
    said = run(
        *("swatch", "--marked", "4in", "--stretched", "4 3/4 in"),
        *("--width-before", "1in"),
    )

    assert "stretch: 18.8 % at most, 12.5 % easily" in said.out
    assert "width when stretched: 0.77 in if no thread gives\n" in said.out


def test_json_has_all_digits_and_the_agreed_keys() -> None:
    said = run(*EASED, "--load", "1 lb", "--json")

    assert (said.exit_code, said.err) == (0, "")
    assert tuple(said.json) == (
        *TOP_KEYS,
        "measured",
        "stretch_ok_percent",
        "stretch_limit_percent",
        "ease_ok_percent",
        "ease_limit_percent",
        "net_width_mm",
        "thread_stretch_percent",
        "threads",
        "shear_rigidity_n_per_m",
        "cloth",
    )
    assert said.json["schema"] == {"name": "edgefinder.swatch", "version": 1}
    assert said.json["measured"]["load_n"] == pytest.approx(4.4482216152605)
    assert said.json["ease_ok_percent"] == pytest.approx(10 / 3)
    assert said.json["cloth"] is None


def test_a_cloth_without_a_file_is_shown_as_it_would_be_written() -> None:
    said = run(*EASED, "--cloth", ' barn "lawn" ')

    table = said.out.split("\n\n", 1)[1]
    assert tomllib.loads(table) == {"cloths": [{"name": 'barn "lawn"', **FIGURES}]}
    record = run(*EASED, "--cloth", "barn", "--json").json["cloth"]
    assert record == {"name": "barn", **FIGURES, "file": None, "change": ""}


# Into a job file


def test_a_cloth_is_added_to_a_job_file_and_all_else_stays(tmp_path: Path) -> None:
    path = bib_job(tmp_path)
    before = path.read_text("utf-8")

    said = run(*EASED, "--cloth", "barn lawn", "--job", path)

    assert said.exit_code == 0
    assert path.read_text("utf-8").startswith(before)
    assert cloths(path) == [{"name": "barn lawn", **FIGURES}]
    note, wrote = sorted(said.err.splitlines())
    assert wrote == f"wrote {path}"
    assert note == (
        'note: cloths "barn lawn": no tape is cut from it yet: write cloth = '
        '"barn lawn" in [fabric]'
    )


def test_a_cloth_that_is_there_is_changed_and_keeps_what_was_not_measured(
    tmp_path: Path,
) -> None:
    path = bib_job(tmp_path)
    run(*EASED, "--cloth", "Lawn", "--job", path)

    said = run(
        *("swatch", "--marked", "100mm", "--stretched", "130mm"),
        *("--cloth", "lawn", "--job", path),
    )

    assert said.err == f"wrote {path}\n"  # lawn is the cloth of the job
    changed = {"stretch_ok_percent": 20, "stretch_limit_percent": 30}
    assert cloths(path) == [{"name": "Lawn", **FIGURES, **changed}]


def test_what_is_written_is_what_the_curves_are_judged_by(tmp_path: Path) -> None:
    path = bib_job(tmp_path)
    before = run("curves", path, "--json").json["sizes"][0]["tapes"][0]

    run(*EASED, "--cloth", "lawn", "--job", path)

    after = run("curves", path, "--json").json["sizes"][0]["tapes"][0]
    assert (before["cloth_from"], after["cloth_from"]) == ("cloth class", "job file")
    assert before["limits_are_working_defaults"]
    assert not after["limits_are_working_defaults"]
    assert {key: after[key] for key in FIGURES} == pytest.approx(FIGURES)
    # R (S - 1) with S = 1.12/0.967
    assert after["widest_flat_mm"] == pytest.approx(60 * (1.12 / 0.967 - 1), abs=1e-3)
    text = run("schedule", path).out
    assert "stretch and ease limits of lawn are those of the job file\n" in text


def test_writing_the_same_again_changes_nothing(tmp_path: Path) -> None:
    path = bib_job(tmp_path)
    run(*EASED, "--cloth", "lawn", "--job", path)
    before = contents(tmp_path)

    said = run(*EASED, "--cloth", "lawn", "--job", path)

    assert said.err == f"{path}: nothing to change\n"
    assert contents(tmp_path) == before


def test_a_dry_run_shows_the_change_and_writes_nothing(tmp_path: Path) -> None:
    path = bib_job(tmp_path)
    before = contents(tmp_path)

    text = run(*EASED, "--cloth", "lawn", "--job", path, "--dry-run")
    result = run(*EASED, "--cloth", "lawn", "--job", path, "--dry-run", "--json")

    assert contents(tmp_path) == before
    assert text.err == result.err == ""
    diff = text.out.split("\n\n", 1)[1]
    assert diff.startswith(f"--- {path}\n+++ {path}\n@@ ")
    assert '+[[cloths]]\n+name = "lawn"\n+stretch_ok_percent = 12\n' in diff
    assert result.json["cloth"]["change"] == diff
    assert result.json["cloth"]["file"] == str(path)


def test_json_and_writing_go_together(tmp_path: Path) -> None:
    path = bib_job(tmp_path)

    said = run(*EASED, "--cloth", "barn", "--job", path, "--json")

    assert said.err == f"wrote {path}\n"
    assert [finding["code"] for finding in said.json["findings"]] == ["cloth-not-used"]
    assert cloths(path) == [{"name": "barn", **FIGURES}]


def test_a_job_file_with_a_mistake_is_left_alone(tmp_path: Path) -> None:
    path = bib_job(tmp_path, JOB + "colour = 3\n")

    (error,) = unchanged(tmp_path, *EASED, "--cloth", "lawn", "--job", path)

    assert error.startswith(f'{path}: runs "neck": colour: unknown key')


def test_cloths_that_cannot_be_added_to_are_told_with_the_file(tmp_path: Path) -> None:
    inline = 'cloths = [{ name = "a", stretch_limit_percent = 20 }]\n'
    path = bib_job(tmp_path, inline + JOB)

    (error,) = unchanged(tmp_path, *EASED, "--cloth", "lawn", "--job", path)

    assert error.startswith(f"{path}: cloths: line 2 is not written in a way that")


def test_a_job_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    (error,) = unchanged(
        tmp_path, *EASED, "--cloth", "lawn", "--job", tmp_path / "a.toml"
    )

    assert error == f"{tmp_path / 'a.toml'}: there is no such file"


# Into the own list


def test_the_own_list_is_made_and_added_to(tmp_path: Path, own: Path) -> None:
    said = run(*EASED, "--cloth", "barn lawn", "--own")
    run(*MEASURED, "--cloth", "sail", "--own")

    assert said.err == f"wrote {own}\n"
    assert own.read_text("utf-8").startswith("# Cloths that I have tested")
    assert [cloth["name"] for cloth in cloths(own)] == ["barn lawn", "sail"]
    assert list(tmp_path.rglob(".edgefinder-*")) == []


def test_a_dry_run_makes_neither_list_nor_folder(tmp_path: Path, own: Path) -> None:
    said = run(*EASED, "--cloth", "barn", "--own", "--dry-run")

    assert said.exit_code == 0
    assert f"+++ {own}\n" in said.out
    assert contents(tmp_path) == {}


def test_comments_and_tools_of_the_own_list_stay(own: Path) -> None:
    own.parent.mkdir(parents=True)
    own.write_text('fold_tools = ["18 mm"]  # blue\n', encoding="utf-8")

    run(*EASED, "--cloth", "barn", "--own")

    text = own.read_text("utf-8")
    assert text.startswith('fold_tools = ["18 mm"]  # blue\n\n[[cloths]]\n')


def test_the_own_list_counts_for_every_job_and_reports_say_so(
    tmp_path: Path, own: Path
) -> None:
    path = bib_job(tmp_path)
    run(*EASED, "--cloth", "lawn", "--own")
    assert own.is_file()

    for command in ("curves", "schedule"):
        assert "limits of lawn are those of your own list\n" in run(command, path).out
    tape = run("curves", path, "--json").json["sizes"][0]["tapes"][0]
    assert (tape["cloth_from"], tape["stretch_limit_percent"]) == ("own list", 18)
    cloth = '\n[[cloths]]\nname = "lawn"\nstretch_limit_percent = 11\n'
    of_job = run("curves", bib_job(tmp_path, JOB + cloth), "--json")
    tape = of_job.json["sizes"][0]["tapes"][0]
    assert (tape["cloth_from"], tape["stretch_limit_percent"]) == ("job file", 11)


def test_compare_and_widths_use_the_own_list_too(tmp_path: Path, own: Path) -> None:
    path = bib_job(tmp_path, JOB.replace('"lawn"', '"barn"'))
    assert any("barn" in error for error in refused("widths", path))
    run(*EASED, "--cloth", "barn", "--own")
    assert own.is_file()

    assert run("widths", path).exit_code == 0
    assert run("compare", path, path).exit_code == 0
    assert "barn (own list)" in run("widths", path, "--cloth").out


def test_a_mistake_in_the_own_list_is_one_line_with_its_path(
    tmp_path: Path, own: Path
) -> None:
    path = bib_job(tmp_path)
    own.parent.mkdir(parents=True)
    own.write_text("fold_tools = [18]\n", encoding="utf-8")
    said = f'{own}: fold_tools: 18 has no unit; write "18 mm" or "18 in" in quotes'

    for command in ("curves", "schedule", "widths"):
        assert refused(command, path) == [said]
    assert unchanged(tmp_path, *EASED, "--cloth", "barn", "--own") == [said]
    assert run(*EASED).exit_code == 0  # nothing is asked of the list


def test_a_folder_in_the_place_of_the_list_is_told(tmp_path: Path, own: Path) -> None:
    own.mkdir(parents=True)

    (error,) = unchanged(tmp_path, *EASED, "--cloth", "barn", "--own")

    assert error == f"{own}: is there already and is not a file; move it"


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path, own: Path) -> None:
    (tmp_path / "settings").write_text("a file", encoding="utf-8")

    said = run(*EASED, "--cloth", "barn", "--own")

    assert said.exit_code == 2
    assert said.err.startswith(f"error: {own.parent}: cannot be made: ")


def test_the_list_lies_where_the_system_keeps_settings(tmp_path: Path) -> None:
    """XDG Base Directory Specification: $XDG_CONFIG_HOME, else $HOME/.config."""
    home = {"XDG_CONFIG_HOME": "", "HOME": str(tmp_path)}

    ended = start(*EASED, "--cloth", "barn", "--own", environment=home)

    assert ended.returncode == 0
    assert (tmp_path / ".config" / "edgefinder" / "cloths.toml").is_file()


# Refusals


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--job", "a.toml", "--own", "--cloth", "a"), "choose one of --job and --own"),
        (("--own",), "say what the cloth is called: --cloth NAME"),
        (("--job", "a.toml"), "say what the cloth is called: --cloth NAME"),
        (("--cloth", "  "), "--cloth: the name is empty"),
        (("--dry-run",), "--dry-run goes with --job or --own"),
        (("--cloth", "a", "--dry-run"), "--dry-run goes with --job or --own"),
        (("--eased", "95"), "Invalid value for '--eased': \"95\" has no unit"),
        (("--load", "1 mm"), "Invalid value for '--load': \"1 mm\" has the unit"),
    ],
)
def test_options_that_cannot_be_followed_are_mistakes_of_typing(
    options: tuple[str, ...], said: str
) -> None:
    assert usage_error(*MEASURED, *options).startswith(f"Error: {said}")


@pytest.mark.parametrize("needed", ["--marked", "--stretched"])
def test_both_lengths_are_needed(needed: str) -> None:
    typed = [word for word in MEASURED if word != needed]
    typed.remove("100mm" if needed == "--marked" else "118mm")

    assert usage_error(*typed) == f"Error: Missing option '{needed}'."


def test_every_reading_that_cannot_be_is_told_and_nothing_is_written(
    tmp_path: Path, own: Path
) -> None:
    assert not own.exists()

    errors = unchanged(
        tmp_path,
        *("swatch", "--marked", "100mm", "--stretched", "142mm", "--eased", "55mm"),
        *("--width-after", "20mm", "--load", "0 g", "--cloth", "knit", "--own"),
    )

    assert [error.split(" ", 3)[:3] for error in errors] == [
        ["a", "stretch", "of"],
        ["an", "ease", "of"],
        ["the", "width", "after"],
        ["the", "load", "must"],
    ]


def test_a_name_cannot_forge_a_line(tmp_path: Path) -> None:
    path = bib_job(tmp_path)

    said = run(*EASED, "--cloth", "a\x1b[2J\nerror: b", "--job", path)

    assert said.exit_code == 0
    assert_printable(said.err)
    assert len(said.err.splitlines()) == 2
    assert cloths(path)[0]["name"] == "a\x1b[2J error: b"
    assert_printable(path.read_text("utf-8"))
