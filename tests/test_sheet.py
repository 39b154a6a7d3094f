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
from edgefinder.reports.amounts import cloth, to_cut
from edgefinder.reports.picture.place_stretches import numbered_places
from edgefinder.reports.sheet.page import MARK, sheet_html
from edgefinder.schedule.release import Release, release_from_file

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
