"""Markdown tables, rendered by another library: markdown-it-py."""

from dataclasses import replace
from pathlib import Path

import pytest
from command_line import APRON, SMOCK, refused, run
from html_page import Node, cells, parsed
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from sheet_cases import HOSTILE, hostile_release

from edgefinder.classifier.job import Wearer
from edgefinder.reports.amounts import to_cut
from edgefinder.reports.release_rows import cover_row, run_names
from edgefinder.reports.tables.markdown import MARK, escaped, markdown, table
from edgefinder.schedule.cautions import sewing_cautions
from edgefinder.schedule.release import release_from_file


def rendered(text: str) -> Node:
    """The page that a web shop would make of a text, links without marks included."""
    return parsed(MarkdownIt("gfm-like", {"linkify": False}).render(text))


@pytest.mark.parametrize("job", [APRON, SMOCK], ids=lambda path: path.stem)
def test_the_tables_hold_the_figures_of_the_schedule(job: Path) -> None:
    release = release_from_file(job)
    unit = release.job.unit

    cover, runs = map(cells, rendered(markdown(release)).all("table"))

    assert cover[1:] == [
        list(cover_row(size, row, unit)) for size in release.sizes for row in size.tapes
    ]
    assert runs[0] == ["run", *(size.size for size in release.sizes)]
    for i, row in enumerate(release.sizes[0].runs):
        assert runs[i + 1][0] == row.run.name
        for size, said in zip(release.sizes, runs[i + 1][1:], strict=True):
            length = to_cut(size.runs[i].tape_length.total, unit)
            times = row.run.settings.times
            assert said == (length if times == 1 else f"{times} x {length}")


def test_cautions_are_told() -> None:
    release = release_from_file(SMOCK)
    text = rendered(markdown(release)).text

    cautions = sewing_cautions(release.job, run_names(release.sizes))
    assert len(cautions) == len(release.cautions)
    for caution in cautions:
        assert " ".join(caution.split()) in text


def test_a_customer_reads_no_advice_to_the_maker() -> None:
    release = release_from_file(SMOCK)
    adult = replace(release, job=replace(release.job, wearer=Wearer.ADULT))
    for one in (release, adult):
        text = rendered(markdown(one)).text

        assert "ends in ties" in text
        assert "wearer" not in text
        assert "you sell" not in text


def test_hostile_names_are_text(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    page = rendered(markdown(release))

    tags = {one.tag for one in page.all()}
    assert tags <= {
        *("h2", "h3", "table", "thead", "tbody", "tr", "th", "td", "p", "ul", "li"),
    }
    for name in (HOSTILE[2], HOSTILE[3], HOSTILE[5]):
        assert " ".join(name.split()) in page.text


markup = st.text(
    st.sampled_from("abw. \t\\`*_{}[]<>()#+-!|~&;:/@=$^1x'\"\n"),
    min_size=1,
    max_size=30,
)


@given(markup)
def test_any_text_in_a_cell_reads_back_as_itself(text: str) -> None:
    written = "\n".join(table(("a", "b"), [("x", text)], names=1))

    ((_, shown),) = [cells(one)[1] for one in rendered(written).all("table")]

    assert shown == " ".join(text.split())


@given(markup)
def test_any_text_in_a_line_reads_back_as_itself(text: str) -> None:
    page = rendered(f"- {escaped(text)}\n")

    assert page.text == " ".join(text.split())
    assert {one.tag for one in page.all()} <= {"ul", "li"}


def test_it_is_written_as_typed_and_over_nothing_else(tmp_path: Path) -> None:
    out = tmp_path / "apron.md"

    said = run("schedule", APRON, "--markdown", out)

    assert (said.exit_code, said.out, said.err) == (0, "", f"wrote {out}\n")
    assert out.read_text("utf-8").endswith(f"{MARK}\n")
    assert run("schedule", APRON, "--markdown", out).exit_code == 0
    out.write_text("# a letter\n", "utf-8")
    assert "pass --force" in refused("schedule", APRON, "--markdown", out)[0]
