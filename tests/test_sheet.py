"""The HTML page: whole, safe, and with the figures of the schedule."""

import base64
import hashlib
import re
from collections import Counter
from dataclasses import fields
from itertools import pairwise
from pathlib import Path

import pytest
from command_line import APRON, SMOCK
from html_page import Node, cells, parsed
from sheet_cases import HOSTILE, hostile_release, made, outline, run_of

from edgefinder import __version__
from edgefinder.classifier.job import FabricSettings, RunSettings, TapeSettings
from edgefinder.reports.amounts import cloth, to_cut, width
from edgefinder.reports.cloth_text import cover_cloth_lines
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.sheet.page import MARK, sheet_html
from edgefinder.schedule.release import Release, release_from_file
from edgefinder.yardage.preparation import USUAL
from edgefinder.yardage.strip_rows import OneCut

RECTANGLE = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")


@pytest.fixture(scope="module")
def apron() -> Release:
    return release_from_file(APRON)


@pytest.fixture(scope="module")
def page(apron: Release) -> Node:
    return parsed(sheet_html(apron))


def table(page: Node, caption: str) -> list[list[str]]:
    (found,) = [
        one for one in page.all("table") if one.all("caption")[0].text == caption
    ]
    return cells(found)


def test_the_back_cover_comes_first_with_tape_and_fabric_of_every_size(
    page: Node, apron: Release
) -> None:
    assert (
        page.all("table")[0].all("caption")[0].text == "Tape and fabric for every size"
    )
    rows = table(page, "Tape and fabric for every size")

    unit = apron.job.unit
    wanted = [
        (
            size.size,
            row.tape.name,
            to_cut(row.total, unit),
            cloth(row.plan.least_cloth.buy, unit),
        )
        for size in apron.sizes
        for row in size.tapes
        if row.plan.least_cloth is not None
    ]
    assert [tuple(row[:4]) for row in rows[1:]] == wanted


def test_every_size_has_its_runs_pieces_places_tapes_and_charts(
    page: Node, apron: Release
) -> None:
    headings = [one.text for one in page.all("h2", "h3", "h4")]
    for size in apron.sizes:
        assert f"Size {size.size}" in headings
        for tagged in size.tagged.pieces:
            assert f"{tagged.piece.name}, size {size.size}" in headings
        rows = table(page, f"Runs of size {size.size}")
        assert [row[0] for row in rows[1:]] == [row.run.name for row in size.runs]
        places = table(page, f"Places to watch in size {size.size}")
        numbers = [row[0] for row in places[1:] if row[0]]
        assert numbers == [str(p.number) for p in numbered_places(size)]
    charts = [
        one for one in page.all("figure") if one.attributes.get("class") == "chart"
    ]
    assert len(charts) == sum(len(size.tapes) for size in apron.sizes)


def test_numbers_below_a_picture_lead_to_the_row_of_the_place(
    page: Node, apron: Release
) -> None:
    ids = {one.attributes["id"]: one for one in page.all() if "id" in one.attributes}
    links = [one for one in page.all("a") if "place" in one.attributes["href"]]

    assert len(links) >= sum(len(numbered_places(size)) for size in apron.sizes)
    for link in links:
        row = ids[link.attributes["href"].removeprefix("#")]
        assert row.all("th")[0].text == link.text


def test_every_link_leads_somewhere_on_the_page_and_every_id_is_its_own(
    page: Node,
) -> None:
    ids = Counter(one.attributes["id"] for one in page.all() if "id" in one.attributes)

    assert {key: n for key, n in ids.items() if n > 1} == {}
    for link in page.all("a"):
        assert link.attributes["href"].startswith("#")
        assert link.attributes["href"][1:] in ids
    for one in page.all():
        for key in one.attributes.get("aria-labelledby", "").split():
            assert key in ids


def test_tables_have_captions_and_heads_that_say_what_they_are_heads_of(
    page: Node,
) -> None:
    assert len(page.all("table")) > 10
    for one in page.all("table"):
        assert len(one.all("caption")) == 1
        assert {head.attributes.get("scope") for head in one.all("th")} == {
            "col",
            "row",
        }


def test_headings_skip_no_level(page: Node) -> None:
    levels = [int(one.tag[1]) for one in page.all("h1", "h2", "h3", "h4", "h5", "h6")]

    assert levels.count(1) == 1
    assert levels[0] == 1
    for above, below in pairwise(levels):
        assert below <= above + 1


def test_every_picture_has_a_title_and_says_what_it_shows(page: Node) -> None:
    pictures = [one for one in page.all("svg") if "aria-hidden" not in one.attributes]

    assert len(pictures) > 15
    for one in pictures:
        assert one.attributes["role"] == "img"
        assert [child.tag for child in one.children[:2]] == ["title", "desc"]
        assert all(child.text for child in one.children[:2])


def test_the_policy_allows_the_one_style_sheet_and_nothing_else(apron: Release) -> None:
    html = sheet_html(apron)
    (policy,) = re.findall(
        r'http-equiv="Content-Security-Policy" content="([^"]+)"', html
    )
    (style,) = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)

    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy.split("; ") == [
        "default-src 'none'",
        f"style-src 'sha256-{digest}'",
        "base-uri 'none'",
        "form-action 'none'",
    ]


def test_nothing_is_fetched_run_or_styled_in_place(page: Node) -> None:
    tags = Counter(one.tag for one in page.all())

    assert tags["style"] == 1
    for tag in ("script", "link", "img", "iframe", "object", "use", "image", "base"):
        assert tags[tag] == 0
    for one in page.all():
        for key, value in one.attributes.items():
            assert key not in {"style", "src", "xlink:href"}
            assert not key.startswith("on")
            assert "://" not in value or key == "xmlns"


def test_hostile_names_are_text_wherever_they_stand(tmp_path: Path) -> None:
    html = sheet_html(hostile_release(tmp_path))
    page = parsed(html)

    whole = page.text
    for name in HOSTILE[:6]:
        assert " ".join(name.split()) in whole
    assert page.all("script", "img") == []
    for one in page.all():
        assert not any(key.startswith("on") for key in one.attributes)
    assert HOSTILE[0] not in html


def test_the_page_is_the_same_every_time_and_names_the_version(apron: Release) -> None:
    html = sheet_html(apron)

    assert html == sheet_html(release_from_file(APRON))
    assert f'{MARK}{__version__}">' in html


def test_a_pattern_without_places_or_findings_says_so(tmp_path: Path) -> None:
    page = parsed(sheet_html(made(tmp_path, RECTANGLE, run_of("top", "bib 1"))))

    assert "None: the tape lies flat everywhere." in page.text
    assert "No place to watch." in page.text


def test_findings_and_cautions_are_told() -> None:
    release = release_from_file(SMOCK)
    text = parsed(sheet_html(release)).text

    for caution in release.cautions:
        assert " ".join(caution.split()) in text
    for finding in release.findings:
        assert " ".join(finding.message.split()) in text


# Cloth

RICH = """widths = "usual"
price = "$8 per m"
contingency_percent = 10
squaring_up = "3 cm"
from = "50 x 70 cm"
scrap = "30 x 30 cm"
"""


def changed_smock(folder: Path, more: str, top: str = "") -> Release:
    """The smock with more in its table of fabric, and more above all tables."""
    text = SMOCK.read_text("utf-8")
    text = text.replace('drawings = ["', f'drawings = ["{SMOCK.parent}/')
    seam = 'strip_seam = "6 mm"\n'
    assert seam in text
    job = folder / "smock.toml"
    job.write_text(top + text.replace(seam, seam + more), "utf-8")
    return release_from_file(job)


@pytest.fixture(scope="module")
def rich(tmp_path_factory: pytest.TempPathFactory) -> Release:
    return changed_smock(tmp_path_factory.mktemp("rich"), RICH)


def below(page: Node, heading: str) -> tuple[list[str], list[Node]]:
    """The paragraphs and tables below a heading, up to the next one."""
    (section,) = [
        one
        for one in page.all("section")
        if heading in [child.text for child in one.children if child.tag[0] == "h"]
    ]
    texts: list[str] = []
    found: list[Node] = []
    is_below = False
    for child in section.children:
        if child.tag in {"h2", "h3", "h4", "section"}:
            is_below = child.text == heading
        elif is_below and child.tag == "p":
            texts.append(child.text)
        elif is_below:
            found += child.all("table")
    return texts, found


def words_of(lines: list[str]) -> Counter[str]:
    """The words of lines of text, without points and without capitals."""
    return Counter(re.findall(r"[^\s.:;]+", " ".join(lines).casefold()))


def test_what_the_page_says_of_cloth_is_what_the_text_says(tmp_path: Path) -> None:
    release = changed_smock(tmp_path, RICH.replace('widths = "usual"', ""))

    paragraphs, tables = below(parsed(sheet_html(release)), "Cloth")

    in_cells = [cell for one in tables for row in cells(one) for cell in row]
    _, _, *lines = cover_cloth_lines(release)  # without the heading and its line
    assert words_of(paragraphs + in_cells) == words_of(lines)


def test_what_is_bought_of_every_width_of_cloth_is_a_table(rich: Release) -> None:
    rows = table(parsed(sheet_html(rich)), "Fabric to buy by the width of the cloth")

    first = rich.sizes[0].tapes[0].cloths
    assert rows[0] == ["size", "tape", *(one.cloth.label for one in first)]
    assert len(first) > 4
    wanted = [
        [
            size.size,
            row.tape.name,
            *(
                "-" if one.least is None else cloth(one.least.buy, rich.job.unit)
                for one in row.cloths
            ),
        ]
        for size in rich.sizes
        for row in size.tapes
    ]
    assert rows[1:] == wanted


def test_without_widths_the_allowances_are_the_only_table_of_cloth(page: Node) -> None:
    _, tables = below(page, "Cloth")

    (one,) = tables
    rows = cells(one)
    assert rows[0] == ["before cutting", "where from", "set", "usual"]
    assert [row[0] for row in rows[1:]] == [usual.name for usual in USUAL]
    assert {row[2] for row in rows[1:]} == {"off"}


def test_tapes_in_one_cut_have_their_strips_in_a_table(rich: Release) -> None:
    page = parsed(sheet_html(rich))

    for size in rich.sizes:
        (cut,) = size.cuts
        assert isinstance(cut.together, OneCut)
        heading = f'Tapes "narrow", "wide" in one cut, on the bias, size {size.size}'
        said, tables = below(page, heading)
        assert f"{len(cut.together.strips)} strips" in said[0]
        (one,) = tables
        rows = {row[0]: row[1:] for row in cells(one)[1:]}
        numbers = Counter(strip.tape for strip in cut.together.strips)
        widths = {one.tape: one.strip.cut_width for one in cut.together.strips}
        assert set(rows) == {"narrow", "wide"}
        for tape, (strips, wide) in rows.items():
            ends = [part.split("-") for part in strips.split(", ")]
            count = sum(int(part[-1]) - int(part[0]) + 1 for part in ends)
            assert count == numbers[tape]
            assert wide == width(widths[tape], rich.job.unit)


def test_tapes_that_are_not_cut_together_say_why_and_have_no_table(
    tmp_path: Path,
) -> None:
    page = parsed(sheet_html(changed_smock(tmp_path, "one_way = true\n")))

    heading = 'Tapes "narrow", "wide" in one cut, on the bias, size 2'
    said, tables = below(page, heading)
    assert said[0].startswith("Not tried, because the order of strips matters")
    assert tables == []


def test_what_a_piece_of_cloth_and_scraps_that_are_there_give_stands_with_the_tape(
    rich: Release,
) -> None:
    page = parsed(sheet_html(rich))

    tape = "tape narrow, size 2"
    row = rich.sizes[0].tapes[0]
    assert row.rectangle is not None
    assert row.scraps is not None
    pieces = table(page, f"Ways to cut that piece, {tape}")
    assert [one[0] for one in pieces[1:]] == [
        str(cutting.method) for cutting in row.rectangle.cuttings
    ]
    said, _ = below(page, f"From the scraps that are there, {tape}")
    assert said[1].startswith("Least set: 1 scrap")
    scraps = table(page, f"Scraps, {tape}")
    assert [one[0] for one in scraps[1:]] == ["1 (30 x 30 cm)"]


def test_widths_that_a_fold_tool_makes_name_it(tmp_path: Path, page: Node) -> None:
    tools = changed_smock(tmp_path, "", 'fold_tools = ["12 mm", "25 mm"]\n')

    rows = table(
        parsed(sheet_html(tools)), "Places by finished width, tape narrow, size 2"
    )

    counts = tools.sizes[0].tapes[0].widths
    assert rows[0] == [
        "finished width",
        "your fold tool",
        "ease and steam",
        "too tight",
    ]
    assert [row[1:] for row in rows[1:]] == [
        [
            one.tool.name if one.tool is not None else "-",
            str(one.steam),
            str(one.too_tight),
        ]
        for one in counts
    ]
    assert {row[1] for row in rows[1:]} >= {"12 mm", "25 mm"}
    without = table(page, "Places by finished width, tape main, size S")
    assert without[0] == ["finished width", "ease and steam", "too tight"]


def test_nothing_is_laid_out_as_plain_text(rich: Release) -> None:
    assert parsed(sheet_html(rich)).all("pre") == []


# Settings


def test_every_setting_is_listed_and_whether_the_job_file_says_it(page: Node) -> None:
    fabric = {row[0]: row[1:] for row in table(page, "Fabric")[1:]}
    tape = {row[0]: row[1:] for row in table(page, "Tape main")[1:]}
    run = {row[0]: row[1:] for row in table(page, "Run armholes")[1:]}

    for kind, shown in (
        (FabricSettings, fabric),
        (TapeSettings, tape),
        (RunSettings, run),
    ):
        names = {f.name.replace("_", " ") for f in fields(kind)} - {"name"}
        names = {"closed" if name == "is closed" else name for name in names}
        assert set(shown) == names
    assert fabric["usable width"] == ["42 in (1067 mm)", "job file"]
    assert fabric["strip seam"] == ["1/4 in (6.35 mm)", "job file"]
    assert fabric["buy step"] == ["4 1/2 in (114.3 mm)", "default"]
    assert tape["finished width"] == ["3/8 in (9.525 mm)", "job file"]
    assert tape["cut width"] == ["not given", "default"]
    assert run["times"] == ["2", "job file"]
    assert run["closed"] == ["no", "default"]
    assert run["edges"] == ["front 4, back 4", "job file"]
    piece = {row[0]: row[1:] for row in table(page, "Piece front")[1:]}
    assert piece["edges"] == ["2: raw", "job file"]
    assert piece["fold edge"] == ["7", "job file"]
    pattern = {row[0]: row[1:] for row in table(page, "Pattern")[1:]}
    assert pattern["edgefinder"] == [__version__, "program"]
    assert pattern["drawings"] == ["orchard-apron.svg", "job file"]
    assert pattern["unit"] == ["in", "job file"]
    finding = {row[0]: row[1:] for row in table(page, "Finding pieces")[1:]}
    assert finding["corner angle"] == ["30 degrees", "default"]
    assert finding["cut lines"] == ["class:cut", "job file"]
