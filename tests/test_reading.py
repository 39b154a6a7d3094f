from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from interchange_files import Dialect as Written
from interchange_files import bib, file_of, polyline, text
from tape_cases import DEMO, demo_job, job_of

from edgefinder.classifier.job_file import drawing_job, read_job
from edgefinder.errors import DrawingError, SettingsError, TagError
from edgefinder.pattern.pieces import Piece
from edgefinder.pattern.settings import Dialect
from edgefinder.schedule.reading import missing_parts, read_pattern, tag_pattern

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'
TAPE = '[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n'
HEM = '[[runs]]\nname = "hem"\ntape = "main"\nedges = ["patch 1"]\n'


def test_the_pieces_of_every_size_are_found_and_each_is_listed_once() -> None:
    read = read_pattern(demo_job("puddle-smock"))

    assert [size.size for size in read.sizes] == ["2", "4", "6", "8"]
    assert all(len(size.pieces) == 2 for size in read.sizes)
    assert len(read.pieces) == 8


def test_sizes_may_stand_in_files_of_their_own(tmp_path: FilePath) -> None:
    job = job_of(tmp_path, SQUARE, 'sizes = "file"\n')
    svg = (tmp_path / "pattern.svg").read_text(encoding="utf-8")
    for size, side in (("10", "200"), ("12", "220")):
        text = svg.replace("h 200 v 200 h -200", f"h {side} v {side} h -{side}")
        (tmp_path / f"{size}.svg").write_text(text, encoding="utf-8")
    drawings = (tmp_path / "10.svg", tmp_path / "12.svg")

    read = read_pattern(replace(job, drawings=drawings))

    found = [(size.size, size.pieces[0].perimeter) for size in read.sizes]
    assert [name for name, _ in found] == ["10", "12"]
    assert [length for _, length in found] == pytest.approx([800, 880])


def test_a_typed_unit_takes_the_place_of_the_one_in_the_job_file(
    tmp_path: FilePath,
) -> None:
    job = job_of(tmp_path, SQUARE, 'drawing_unit = "2 mm"\n')

    assert read_pattern(job).pieces[0].perimeter == pytest.approx(1600)
    assert read_pattern(job, unit_mm=0.5).pieces[0].perimeter == pytest.approx(400)


def test_the_mistakes_of_every_drawing_are_told_together(tmp_path: FilePath) -> None:
    job = job_of(tmp_path, SQUARE, "")
    missing = (tmp_path / "front.svg", tmp_path / "pattern.svg", tmp_path / "back.svg")

    with pytest.raises(DrawingError) as told:
        read_pattern(replace(job, drawings=missing))

    front, back = told.value.messages
    assert "front.svg: there is no such file" in front
    assert "back.svg: there is no such file" in back


def test_mistakes_of_tapes_and_of_edges_are_told_together(tmp_path: FilePath) -> None:
    run = HEM.replace('"main"', '"wide"').replace("patch 1", "patch 9")

    with pytest.raises(TagError) as told:
        tag_pattern(job_of(tmp_path, SQUARE, TAPE + run))

    tape, edge = told.value.messages
    assert 'there is no tape "wide"' in tape
    assert "patch 9" in edge


def test_an_unknown_tape_alone_is_a_mistake_of_the_settings(
    tmp_path: FilePath,
) -> None:
    run = HEM.replace('"main"', '"wide"')

    with pytest.raises(SettingsError, match='there is no tape "wide"'):
        tag_pattern(job_of(tmp_path, SQUARE, TAPE + run))


def test_a_job_without_runs_cannot_be_scheduled(tmp_path: FilePath) -> None:
    job = job_of(tmp_path, SQUARE, TAPE)

    assert missing_parts(demo_job("orchard-apron")) == []
    with pytest.raises(SettingsError, match="no edge is bound: put bound edges"):
        tag_pattern(job)


def test_a_finding_that_holds_for_every_size_is_told_once() -> None:
    job = demo_job("puddle-smock")
    cut = tuple(replace(piece, cut=3) for piece in job.pieces)
    once = demo_job("puddle-smock")

    findings = tag_pattern(replace(job, pieces=cut)).findings

    counted = [f for f in findings if f.code == "bound-count"]
    assert len(counted) == len({f.where for f in counted})
    assert all(f.where.endswith("(all sizes)") for f in counted)
    assert not [f for f in tag_pattern(once).findings if f.code == "bound-count"]


def test_a_finding_of_the_only_size_is_not_said_to_hold_for_all(
    tmp_path: FilePath,
) -> None:
    more = '[[pieces]]\nname = "patch"\ncut = 2\n'

    findings = tag_pattern(job_of(tmp_path, SQUARE, TAPE + more + HEM)).findings

    assert [f.where for f in findings if f.code == "bound-count"] == ['"patch" edge 1']


def test_the_demo_is_read_without_findings() -> None:
    assert DEMO.is_dir()
    for name in ("orchard-apron", "puddle-smock"):
        assert tag_pattern(demo_job(name)).findings == ()


def test_the_test_square_of_a_pattern_interchange_file_scales_its_pieces(
    tmp_path: FilePath,
) -> None:
    at = 100 + 100j
    square = [at, at + 38.1, at + 38.1 + 38.1j, at + 38.1j]
    block = bib(None, polyline(square, 8, closed=True), text("test square", at + 5, 15))
    (tmp_path / "bib.dxf").write_bytes(file_of([block]))
    job = drawing_job(tmp_path / "bib.dxf")

    (plain,) = read_pattern(job).pieces
    found = read_pattern(job, test_square=50.8)

    (scaled,) = found.pieces
    assert scaled.perimeter == pytest.approx(plain.perimeter * 4 / 3, rel=1e-9)
    assert "test-square" in [finding.code for finding in found.findings]


def test_a_person_may_overrule_what_a_dxf_is_taken_for(tmp_path: FilePath) -> None:
    (tmp_path / "bib.dxf").write_bytes(file_of([bib()]))
    job = drawing_job(tmp_path / "bib.dxf")

    interchange, plain, again = (
        read_pattern(job, dialect=dialect).pieces[0]
        for dialect in (None, Dialect.PLAIN, Dialect.INTERCHANGE)
    )

    # As drawn, curve points are corners of a polyline or nothing.
    assert [edge.length for edge in again.edges] == [
        edge.length for edge in interchange.edges
    ]
    assert plain.size is None
    assert interchange.size == "M"
    assert plain.perimeter < interchange.perimeter


@pytest.mark.parametrize("cut_lines", ["", 'cut_lines = ["layer:1"]\n'])
def test_a_file_without_marks_is_pattern_interchange_if_the_job_file_says_so(
    tmp_path: FilePath, cut_lines: str
) -> None:
    outline = polyline([0, 300, 300 + 200j, 200j], 1, closed=True)
    cutout = polyline([50 + 50j, 99 + 50j, 50 + 99j], 11, closed=True)
    block = bib({}, cutout, name="PANEL", boundary=outline, marks=False)
    data = file_of([block], Written(style={}))
    (tmp_path / "panel.dxf").write_bytes(data)

    def pieces(dialect: str) -> tuple[Piece, ...]:
        path = tmp_path / "panel.toml"
        path.write_text(f'drawings = ["panel.dxf"]\n{cut_lines}{dialect}')
        return read_pattern(read_job(path)).pieces

    (said,) = pieces('dialect = "interchange"\n')
    assert (said.name, len(said.cutouts)) == ("PANEL", 1)
    assert [len(piece.cutouts) for piece in pieces("")] == [0]
    assert [len(piece.cutouts) for piece in pieces('dialect = "plain"\n')] == [0]


def test_a_drawing_without_blocks_is_no_pattern_interchange_whatever_is_said(
    tmp_path: FilePath,
) -> None:
    job = job_of(tmp_path, SQUARE, "")

    with pytest.raises(DrawingError, match="it is no pattern interchange file"):
        read_pattern(job, dialect=Dialect.INTERCHANGE)


def nest(*sizes: str) -> str:
    return "".join(
        f'<g id="{size}"><path id="front" d="M 0 0 h {side} v 80 h -{side} z"/></g>'
        for side, size in enumerate(sizes, start=200)
    )


def test_a_key_of_size_names_that_is_no_size_is_told(tmp_path: FilePath) -> None:
    names = (
        'sizes = "layer"\nsize_names = { 10 = "S", 12 = "M", 41 = "L", "red" = "XL" }\n'
    )

    findings = read_pattern(job_of(tmp_path, nest("10", "12"), names)).findings

    (finding,) = (f for f in findings if f.code == "size-name")
    assert finding.where.endswith(".toml")
    assert finding.message == (
        'size_names: "41", "red" is no size in the drawings; sizes found: S, M'
    )


def test_keys_of_size_names_that_are_sizes_of_any_drawing_are_not(
    tmp_path: FilePath,
) -> None:
    names = 'sizes = "file"\nsize_names = { 10 = "S", 12 = "M" }\n'
    job = job_of(tmp_path, SQUARE, names)
    for size in ("10", "12"):
        svg = (tmp_path / "pattern.svg").read_text(encoding="utf-8")
        (tmp_path / f"{size}.svg").write_text(svg, encoding="utf-8")

    drawings = (tmp_path / "10.svg", tmp_path / "12.svg")
    read = read_pattern(replace(job, drawings=drawings))

    assert [size.size for size in read.sizes] == ["S", "M"]
    assert "size-name" not in [f.code for f in read.findings]


def test_sizes_of_pattern_interchange_are_renamed_too(tmp_path: FilePath) -> None:
    (tmp_path / "bib.dxf").write_bytes(file_of([bib()]))
    path = tmp_path / "bib.toml"
    path.write_text('drawings = ["bib.dxf"]\nsize_names = { m = "medium" }\n')

    read = read_pattern(read_job(path))

    assert [piece.size for piece in read.pieces] == ["medium"]
    assert "size-name" not in [f.code for f in read.findings]


def test_a_mistake_in_every_size_but_one_is_one_line(tmp_path: FilePath) -> None:
    circles = "".join(
        f'<g id="{size}"><circle id="front" cx="200" cy="200" r="{r}"/></g>'
        for size, r in (("10", 50), ("12", 50), ("14", 50))
    )
    job = 'sizes = "layer"\n' + TAPE + HEM.replace("patch 1", "front 3")

    with pytest.raises(TagError) as caught:
        tag_pattern(job_of(tmp_path, nest("9") + circles, job))

    (message,) = caught.value.messages
    assert "in sizes 10, 12, 14, from size 9: " in message
