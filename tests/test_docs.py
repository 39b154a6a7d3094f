"""The documents say what the program does."""

import csv
import json
import re
import shlex
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from doc_examples import (
    DOCS,
    NOT_RUN,
    PICTURES,
    ROOT,
    Session,
    blocks,
    call,
    prose,
    render,
)
from job_reference import TABLES, with_tables

from edgefinder.binding.cloth import CLOTH_CLASSES, OTHER_NAMES, find_cloth
from edgefinder.classifier.job import Finish, Grain, Job, TapeFold
from edgefinder.classifier.job_file import read_job
from edgefinder.cli.main import (
    CAN_BE_MENDED,
    COMMANDS,
    DIFFERENT,
    INTERNAL,
    INTERRUPTED,
)
from edgefinder.curvature.band import least_radius
from edgefinder.curvature.verdict import Verdict
from edgefinder.errors import SettingsError

PAGES = (
    "first-hour",
    "page",
    "drawing",
    "job-file",
    "commands",
    "fabric",
    "pictures",
    "pdf",
    "method",
    "curves",
    "speed",
    "limits",
    "troubleshooting",
    "glossary",
    "changelog",
)
MOST_COLUMNS = 100
LASTING = {"page"}
"""Commands that last until they are stopped; tests of their own start them."""
CODE = re.compile(r"`([^`]+)`")


def page(name: str) -> str:
    return (DOCS / f"{name}.md").read_text("utf-8")


def section(text: str, heading: str) -> str:
    """The text under a heading, down to the next one of its level or above."""
    level = heading.split(maxsplit=1)[0]
    after = text.split(f"\n{heading}\n", 1)[1]
    return re.split(rf"\n#{{1,{len(level)}}} ", after, maxsplit=1)[0]


def table_rows(text: str) -> list[list[str]]:
    """The cells of the rows of the first table, without its head."""
    rows: list[list[str]] = []
    for line in text.splitlines():
        if line.startswith("|"):
            rows.append([cell.strip() for cell in line.strip("|").split("|")])
        elif rows:
            break
    return rows[2:]


def codes(cell: str) -> list[str]:
    return CODE.findall(cell)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def demo(folder: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """What ``edgefinder demo`` prints; its folder becomes the current one."""
    code, output = call(["demo"])
    assert code == 0
    monkeypatch.chdir(folder / "edgefinder-demo")
    return output


# Examples


@pytest.mark.parametrize("name", PAGES)
def test_the_examples_print_what_the_page_shows(name: str, folder: Path) -> None:
    """``python tests/doc_examples.py`` writes the outputs anew."""
    assert folder.is_dir()
    session = Session()

    shown = render(page(name), session)

    typed = [
        line
        for block in blocks(page(name))
        if block.kind == "sh" and NOT_RUN not in block.comment
        for line in block.lines
        if line.startswith("edgefinder ")
    ]
    assert [run.line for run in session.ran] == typed
    assert [run.line for run in session.ran if run.code != run.wanted] == []
    assert shown.splitlines() == page(name).splitlines()
    for picture, data in session.kept.items():
        assert (DOCS / picture).read_bytes() == data, picture


MOST_PICTURE_BYTES = 60_000
DRAWN_ELSEWHERE = {"pictures/band.svg", "pictures/turn-of-cloth.svg"}
"""By ``fixtures/drafting/draw_curves.py``."""


def test_every_picture_is_kept_by_one_page_small_and_shown_with_its_words() -> None:
    texts = [page(name) for name in PAGES]
    keep = re.compile(r"<!-- keep \S+ as (\S+)")
    kept = [name for text in texts for name in keep.findall(text)]
    there = {f"pictures/{path.name}" for path in PICTURES.glob("*.svg")}

    assert sorted(kept) == sorted({*kept})
    assert {*kept} | DRAWN_ELSEWHERE == there
    assert len(kept) >= 4
    for name in there:
        image = re.compile(rf"!\[(.+)\]\({name}\)")
        shown = [said for text in texts for said in image.findall(text)]
        assert len(shown) == 1, name
        assert len(shown[0]) > 10
        assert (DOCS / name).stat().st_size < MOST_PICTURE_BYTES
    for name in kept:
        text = (DOCS / name).read_text("utf-8")
        assert "<title" in text
        assert "<desc" in text


def test_the_first_hour_tries_the_whole_way_and_nothing_that_fails() -> None:
    text = page("first-hour")

    assert "<!-- exit" not in text
    way = ("demo", "lines", "new", "edges", "curves", "schedule")
    for command in (*way, "picture", "mark", "words"):
        assert re.search(rf"^edgefinder {command}\b", text, re.MULTILINE)
    for option in ("--csv", "--html", "--pdf", "--charts"):
        assert re.search(rf"^edgefinder schedule .*{option}", text, re.MULTILINE)


def test_only_what_lasts_until_it_is_stopped_is_not_run() -> None:
    lines = [
        line
        for name in PAGES
        for block in blocks(page(name))
        if NOT_RUN in block.comment
        for line in block.lines
    ]

    assert {line.split()[1] for line in lines} == LASTING


def test_every_output_that_a_page_shows_is_run_again() -> None:
    unmarked = [
        f"{name}.md line {block.first + 1}"
        for name in PAGES
        for block in blocks(page(name))
        if block.kind == "text" and not block.comment
    ]

    assert unmarked == []


def test_the_readme_shows_what_the_demo_prints(demo: str) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    shown = [
        block.lines
        for block in blocks(readme)
        if block.kind == "text" and not block.lines[0].startswith("edgefinder ")
    ]

    assert len(shown) >= 2
    for lines in shown:
        assert "\n".join(lines) in demo


def test_the_readme_describes_commands_and_options_that_are_there(demo: str) -> None:
    assert demo
    readme = (ROOT / "README.md").read_text("utf-8")
    lines = [
        line
        for block in blocks(readme)
        for line in block.lines
        if line.startswith("edgefinder ")
    ]
    assert len(lines) >= 5
    for line in lines:
        typed = re.split(r"\s{3,}", line)[0]
        words = shlex.split(typed.replace("apron.", "orchard-apron."))
        if words[1] == "new":
            words += ["-o", "apron.toml"]
        if words[1] in LASTING:  # until somebody stops it
            assert Path(words[2]).is_file()
            words = [*words[:2], "--help"]

        code, output = call(words[1:])

        assert code == 0, output


# Commands


def test_every_command_has_its_section_with_help_and_an_example() -> None:
    text = page("commands")
    for command in COMMANDS:
        part = section(text, f"## {command}")
        found = list(blocks(part))

        assert f"<!-- help: {command} -->" in [block.comment for block in found]
        examples = [line for b in found if b.kind == "sh" for line in b.lines]
        assert any(line.startswith(f"edgefinder {command}") for line in examples)


def test_no_section_describes_a_command_that_is_not_there() -> None:
    helped = re.findall(r"<!-- help(?:: (\w+))? -->", page("commands"))

    assert sorted(helped) == sorted(["", *COMMANDS])


def test_every_exit_code_is_explained() -> None:
    rows = table_rows(section(page("commands"), "## Exit codes"))

    assert [int(row[0]) for row in rows] == sorted(
        {0, DIFFERENT, CAN_BE_MENDED, INTERNAL, INTERRUPTED}
    )


def test_a_command_line_that_cannot_be_followed_ends_with_2(folder: Path) -> None:
    assert folder.is_dir()

    assert call(["schedule", "nothing.toml"])[0] == CAN_BE_MENDED
    assert call(["schedule"])[0] == CAN_BE_MENDED
    assert call(["shedule", "nothing.toml"])[0] == CAN_BE_MENDED


# JSON

WITHOUT_JSON = ("new", "page", "tag", "untag", "picture", "words", "mark", "demo")
FABRIC = ["fabric", "--length", "20 yd", "--cut-width", "2 in"]
SMOCK_CLOTH = """
widths = ["44-45 in", "2 cm"]
price = "9.90 EUR per m"
from = "20 x 70 cm"
scrap = ["20 x 50 cm"]
"""
SMOCK_AVOIDS = """
avoid_joins_at = ["0 cm"]
avoid_joins_within = "3 cm"
"""
TWO_SIZES = ["fabric", "--tape", "S: a", "2 m", "2 in", "--tape", "L: a", "2 m"]
FABRIC_QUESTIONS = (
    FABRIC,
    [*FABRIC, "--usable-width", "10 in"],
    [*FABRIC, "--widths", "usual", "--price", "9 EUR/m", "--packet-length", "3 m"],
    [*FABRIC, "--avoid-joins-at", "1 m", "--avoid-joins-within", "5 cm"],
    ["fabric", "--from", "14 x 44 in", "--cut-width", "2 in"],
    ["fabric", "--length", "2 m", "--cut-width", "2 in", "--scrap", "30 x 50 cm"],
    [*TWO_SIZES, "2 in"],
    [*TWO_SIZES, "80 in"],
)
MORE_TAPES = """
[[tapes]]
name = "packets"
finished_width = "3/8 in"
grain = "crosswise"
packet_length = "3 yd"
"""


def printed_keys(value: object, at: str, found: dict[str, set[str]]) -> None:
    """Collect the keys of every record, by its place: ``sizes[].runs[]``."""
    if isinstance(value, dict):
        found[at] |= value.keys()
        for key, inner in value.items():
            printed_keys(inner, f"{at}.{key}".lstrip("."), found)
    elif isinstance(value, list):
        for inner in value:
            printed_keys(inner, f"{at}[]", found)


def documented_records() -> Iterator[tuple[str, list[tuple[str, str]], set[str]]]:
    """Heading, places (command and path), and keys of every record."""
    text = section(page("commands"), "## JSON")
    for part in text.split("\n### ")[1:]:
        heading, rest = part.split("\n", 1)
        where = " ".join(rest.split("Where: ", 1)[1].split("\n\n", 1)[0].split())
        jsons = [name for name in COMMANDS if name not in WITHOUT_JSON]
        places: list[tuple[str, str]] = []
        if where == "all: the object itself":
            places = [(name, "") for name in jsons]
        elif where.startswith("all: "):
            places = [(name, codes(where)[0]) for name in jsons]
        else:
            for place in where.split("; "):
                command, path = codes(place)
                places.append((command, path))
        keys = {key for row in table_rows(rest) for key in codes(row[0])}
        yield heading, places, keys


@pytest.fixture
def printed(demo: str) -> Mapping[tuple[str, str], set[str]]:
    """Every key that the commands print, by command and place."""
    assert demo
    job = Path("orchard-apron.toml")
    text = job.read_text("utf-8") + MORE_TAPES
    armholes = 'name = "armholes"\ntape = "main"'
    assert armholes in text
    text = text.replace(armholes, armholes.replace("main", "packets"))
    job.write_text(text.replace('"42 in"', '"12 in"'), "utf-8")
    smock = Path("puddle-smock.toml").read_text("utf-8")
    cloth, closed = 'strip_seam = "6 mm"\n', "closed = true\n"
    assert cloth in smock
    assert closed in smock
    for name, changed in (
        ("cloth.toml", smock.replace(cloth, cloth + SMOCK_CLOTH)),
        ("avoids.toml", smock.replace(closed, closed + SMOCK_AVOIDS)),
    ):
        Path(name).write_text(changed, "utf-8")
    found: dict[tuple[str, str], set[str]] = {}
    for arguments in (
        ["lines", "orchard-apron.svg"],
        ["edges", "orchard-apron.svg"],
        ["tags", str(job)],
        ["curves", str(job), "--size", "S"],
        ["widths", str(job), "--size", "S"],
        ["swatch", "--marked", "100mm", "--stretched", "118mm", "--cloth", "barn"],
        *FABRIC_QUESTIONS,
        ["schedule", str(job), "--size", "S"],
        ["schedule", "cloth.toml", "--size", "2"],
        ["schedule", "avoids.toml", "--size", "2"],
        ["compare", "orchard-apron.svg", str(job)],
        ["compare", "puddle-smock.toml", str(job)],
    ):
        code, output = call(["--quiet", *arguments, "--json"])
        assert code == (DIFFERENT if "smock" in arguments[1] else 0), output
        keys: defaultdict[str, set[str]] = defaultdict(set)
        printed_keys(json.loads(output), "", keys)
        for at, names in keys.items():
            found.setdefault((arguments[0], at), set()).update(names)
    return found


def test_every_record_of_the_json_is_documented_key_by_key(
    printed: Mapping[tuple[str, str], set[str]],
) -> None:
    documented: dict[tuple[str, str], set[str]] = {}
    for _, places, keys in documented_records():
        documented |= dict.fromkeys(places, keys)

    missing = {
        place: keys - documented.get(place, set()) for place, keys in printed.items()
    }

    assert {place: keys for place, keys in missing.items() if keys} == {}


def test_every_documented_key_of_the_json_is_printed(
    printed: Mapping[tuple[str, str], set[str]],
) -> None:
    for heading, places, keys in documented_records():
        there = [place for place in places if place in printed]

        assert set().union(*(printed[place] for place in there)) == keys, heading
        # Not every result has findings.
        assert there == places or heading == "Findings", heading


def test_the_columns_of_every_csv_file_are_documented_in_order(demo: str) -> None:
    assert demo
    assert call(["schedule", "orchard-apron.toml", "--csv", "tables"])[0] == 0
    text = page("commands")

    for path in sorted(Path("tables").iterdir()):
        with path.open(encoding="utf-8", newline="") as stream:
            head = next(csv.reader(stream))
        rows = table_rows(section(text, f"### {path.name}"))

        assert [name for row in rows for name in codes(row[0])] == head


# The job file

HEADINGS = {
    "## The top of the file": "",
    "## `[fabric]`": "[fabric]",
    "## `[[tapes]]`": "[[tapes]]",
    "## `[[cloths]]`: a swatch test": "[[cloths]]",
    "## `[[pieces]]`": "[[pieces]]",
    "## `[[runs]]`": "[[runs]]",
}

LEAST = {
    "": 'drawings = ["a.svg"]',
    "[fabric]": "",
    "[[tapes]]": 'name = "t"\nfinished_width = "9 mm"',
    "[[cloths]]": 'name = "c"\nstretch_limit_percent = 20',
    "[[pieces]]": 'name = "p"',
    "[[runs]]": 'name = "r"\ntape = "t"\nedges = ["p 1"]',
}
"""The required keys of every table."""


def job_with(table: str, line: str) -> str:
    """A job file with the least that there must be, and one line in a table."""
    parts = [LEAST[""], line if table == "" else ""]
    for name, needed in LEAST.items():
        if name:
            parts += [name, needed, line if name == table else ""]
    return "\n".join(parts)


def read(text: str, folder: Path) -> Job:
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    return read_job(path)


def test_the_tables_of_the_job_file_are_what_its_readers_declare() -> None:
    """``python tests/doc_examples.py`` writes the tables anew."""
    text = page("job-file")
    tables = re.findall(r"<!-- keys: (\w+) -->", text)

    assert tables == list(TABLES)
    assert with_tables(text).splitlines() == text.splitlines()


WRONG = "1979-05-27"
"""A date, which no key of a job file takes."""


@pytest.mark.parametrize(
    ("table", "key"),
    [(table, key.name) for table, keys in TABLES.items() for key in keys],
)
def test_every_declared_key_is_read(table: str, key: str, folder: Path) -> None:
    heading = {"top": "", "fabric": "[fabric]"}.get(table, f"[[{table}]]")
    needed = LEAST[heading].splitlines()
    if table == "top" and key in TABLES:
        text = f"{LEAST['']}\n{key} = {WRONG}"
    elif any(line.startswith(f"{key} =") for line in needed):
        text = re.sub(rf"(?m)^{key} = .*$", f"{key} = {WRONG}", job_with(heading, ""))
    else:
        text = job_with(heading, f"{key} = {WRONG}")

    with pytest.raises(SettingsError) as caught:
        read(text, folder)

    assert any(f"{key}: " in message for message in caught.value.messages)
    assert "unknown key" not in str(caught.value.messages)


@pytest.mark.parametrize("heading", list(HEADINGS))
def test_every_key_of_the_job_file_is_documented(heading: str, folder: Path) -> None:
    rows = table_rows(section(page("job-file"), heading))

    with pytest.raises(SettingsError) as caught:
        read(job_with(HEADINGS[heading], "zzzzzzzz = 1"), folder)

    (message,) = caught.value.messages
    known = set(re.findall(r'"(\w+)"', message.split("known: ")[1]))
    assert {codes(row[0])[0] for row in rows} == known


@pytest.mark.parametrize("heading", list(HEADINGS))
def test_a_documented_default_is_what_a_missing_key_means(
    heading: str, folder: Path
) -> None:
    table = HEADINGS[heading]
    rows = table_rows(section(page("job-file"), heading))
    without = read(job_with(table, ""), folder)
    tried = 0
    for key, _, default, _ in rows:
        if not default.startswith("`"):
            continue
        line = f"{codes(key)[0]} = {codes(default)[0]}"

        written = read(job_with(table, line), folder)

        is_read = replace(written, path=without.path, text=without.text)
        assert is_read == without, line
        tried += 1
    documented = any(row[2].startswith("`") for row in rows)
    assert tried >= documented


@pytest.mark.parametrize("heading", list(HEADINGS))
def test_a_key_that_is_called_required_has_to_be_there(
    heading: str, folder: Path
) -> None:
    table = HEADINGS[heading]
    rows = table_rows(section(page("job-file"), heading))
    required = {codes(row[0])[0] for row in rows if row[2] == "required"}

    assert required == {
        line.split(" = ")[0] for line in LEAST[table].splitlines() if line
    }
    for key in required:
        whole = job_with(table, "")
        needed = next(x for x in LEAST[table].splitlines() if x.startswith(f"{key} ="))
        with pytest.raises(SettingsError, match=key):
            read(whole.replace(needed, "", 1), folder)


def test_the_full_example_of_the_job_file_is_read(folder: Path) -> None:
    example = next(
        block
        for block in blocks(page("job-file"))
        if block.comment.startswith("<!-- write apron-at-home.toml")
    )

    job = read("\n".join(example.lines), folder)

    assert [tape.name for tape in job.tapes] == ["hem tape", "pocket tape"]
    assert len(job.runs) == 4
    assert job.cloths[0].stretch_limit == pytest.approx(0.21)


def test_lengths_are_read_in_every_way_that_the_page_shows(folder: Path) -> None:
    shown = section(page("job-file"), "## How it is written")
    lengths = re.findall(r'`"(\d[^"]* (?:mm|cm|m|in|yd))"`', shown)

    assert len(lengths) >= 6
    for length in lengths:
        read(job_with("", f'seam_allowance = "{length}"'), folder)


def test_the_table_of_cloth_classes_holds_the_figures_of_the_program() -> None:
    rows = table_rows(section(page("job-file"), "### Cloth classes"))

    assert [codes(row[0])[0] for row in rows] == [c.name for c in CLOTH_CLASSES]
    for row, cloth in zip(rows, CLOTH_CLASSES, strict=True):
        figures = [float(x) for cell in row[2:] for x in re.findall(r"[\d.]+", cell)]
        on_bias, across, along = cloth.bias, cloth.crosswise, cloth.lengthwise
        assert figures == pytest.approx(
            [
                100 * share
                for share in (
                    on_bias.ok.stretch,
                    on_bias.limit.stretch,
                    on_bias.ok.ease,
                    on_bias.limit.ease,
                    across.limit.stretch,
                    across.limit.ease,
                    along.limit.stretch,
                    along.limit.ease,
                )
            ]
        )
        also = [name.strip() for name in row[1].split(",")]
        assert also == [name for name, of in OTHER_NAMES.items() if of == cloth.name]


# The method


def test_the_table_of_least_radii_holds_what_the_band_comes_to() -> None:
    part = section(page("method"), "## The band and the feed")
    rows = table_rows(part.split("Least radius over finished width", 1)[1])

    assert len(rows) == len(CLOTH_CLASSES)
    for name, *figures in rows:
        bias = find_cloth(name, ()).bias
        assert [float(figure) for figure in figures] == [
            round(least_radius(1.0, limits, inside=inside), 1)
            for inside in (True, False)
            for limits in (bias.ok, bias.limit)
        ]


def test_every_reference_that_the_method_names_is_in_its_list() -> None:
    text = page("method")
    listed = re.findall(r"^- \[(S\d+)\]", text, re.MULTILINE)
    body = text.split("\n## References\n")[0]

    assert listed == [f"S{n}" for n in range(1, len(listed) + 1)]
    assert set(re.findall(r"\bS\d+\b", body)) == set(listed)


# All pages


def anchors(text: str) -> set[str]:
    """The names that headings are linked by."""
    found = set()
    for line in prose(text):
        if line.startswith("#"):
            words = line.lstrip("#").strip().lower()
            found.add(re.sub(r"[^\w\- ]", "", words).replace(" ", "-"))
    return found


@pytest.mark.parametrize(
    "path",
    [
        *(DOCS / f"{name}.md" for name in PAGES),
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
    ],
    ids=lambda path: path.name,
)
def test_links_lead_to_pages_and_headings_that_exist(path: Path) -> None:
    text = path.read_text("utf-8")
    for link in re.findall(r"\]\(([^)\s]+)\)", "\n".join(prose(text))):
        if link.startswith("https://"):
            continue
        file, _, anchor = link.partition("#")
        target = path.parent / file if file else path

        assert target.is_file(), link
        if anchor:
            assert anchor in anchors(target.read_text("utf-8")), link


def test_every_page_is_known_here_and_reached_from_the_readme() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")

    assert sorted(path.stem for path in DOCS.glob("*.md")) == sorted(PAGES)
    for name in PAGES:
        assert f"(docs/{name}.md)" in readme


@pytest.mark.parametrize("name", PAGES)
def test_prose_stays_within_100_columns(name: str) -> None:
    long = [
        line
        for line in prose(page(name))
        if len(line) > MOST_COLUMNS and not line.startswith("|")
    ]

    assert long == []


def test_the_changelog_has_the_headings_of_keep_a_changelog() -> None:
    text = page("changelog")
    kinds = ("Added", "Changed", "Deprecated", "Removed", "Fixed", "Security")

    assert "\n## [Unreleased]\n" in text
    assert set(re.findall(r"^### (.+)$", text, re.MULTILINE)) <= set(kinds)
    for name in COMMANDS:
        assert f"`edgefinder {name}" in text


def test_the_glossary_has_the_words_that_reports_and_job_files_use() -> None:
    text = page("glossary")
    choices = (*Verdict, *Finish, *TapeFold, *Grain)
    words = ("leg", "place", "feed", "window", "sharpest bend", "packet", "tube")
    others = ("spare", "waste", "run", "join", "turn of cloth", "working default")

    assert [str(choice) for choice in choices if choice not in text] == []
    for word in (*words, *others):
        assert re.search(rf"^\| (.*, )?{word}\b", text, re.MULTILINE), word
