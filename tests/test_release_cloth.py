"""The cloth of a whole release: one cut, the largest size, widths, charts."""

import json
from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from command_line import APRON, SMOCK, assert_fits, run
from tape_cases import demo_job, release_of

from edgefinder.classifier.job import Grain
from edgefinder.classifier.price_words import parse_price
from edgefinder.errors import SettingsError
from edgefinder.reports.cloth_text import cover_cloth_lines, one_cut_lines
from edgefinder.reports.cutting_files import file_stem, release_charts
from edgefinder.reports.release_records import release_record
from edgefinder.reports.release_text import schedule_text
from edgefinder.schedule.one_cuts import (
    GrainCut,
    TapeToCut,
    grain_cuts,
    largest_sizes,
)
from edgefinder.schedule.release import Release, make_release
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Need, NotPossible
from edgefinder.yardage.from_rectangle import from_rectangle
from edgefinder.yardage.methods import cut_everything
from edgefinder.yardage.one_cut import WantedTape, one_cut
from edgefinder.yardage.preparation import Preparation
from edgefinder.yardage.strip_rows import OneCut

SQUARE = '<path id="patch" d="M 100 100 h 200 v 200 h -200 z"/>'


def to_cut(
    name: str, need: Need, *, cloth: str = "lawn", grain: Grain = Grain.BIAS
) -> TapeToCut:
    best = cut_everything(replace(need, grain=grain)).least_cloth
    return TapeToCut(WantedTape(name, need), cloth, grain, best)


@pytest.fixture(scope="module")
def smock() -> Release:
    return make_release(demo_job("puddle-smock"))


# One cut


def test_only_tapes_of_one_cloth_and_one_grain_are_cut_together() -> None:
    need = Need(3000.0, 40.0)

    cuts = grain_cuts(
        [
            to_cut("a", need),
            to_cut("b", need, grain=Grain.CROSSWISE),
            to_cut("c", need),
            to_cut("d", need, cloth="linen"),
        ]
    )

    assert [[tape.name for tape in cut.tapes] for cut in cuts] == [
        ["a", "c"],
        ["b"],
        ["d"],
    ]
    assert isinstance(cuts[0].together, OneCut)
    assert cuts[1].together is cuts[2].together is None


def test_one_cut_buys_what_the_prepared_cloth_takes() -> None:
    washed = Preparation(shrinkage_along=0.05, squaring=50.0)
    need = Need(3000.0, 40.0, preparation=washed, buy_step=1.0)

    (cut,) = grain_cuts([to_cut("a", need), to_cut("b", need)])

    assert isinstance(cut.together, OneCut)
    assert cut.bought is not None
    exact = (cut.together.length + 50.0) / 0.95
    assert cut.bought.buy == pytest.approx(exact, abs=1.0)
    assert cut.buy == min(cut.alone or 0.0, cut.bought.buy)


def test_where_the_order_matters_every_tape_is_cut_alone() -> None:
    need = Need(3000.0, 40.0, one_way=True)

    (cut,) = grain_cuts([to_cut("a", need), to_cut("b", need)])

    assert cut.together is None
    assert cut.buy == cut.alone
    said = " ".join(one_cut_lines([cut], Unit.MILLIMETRE))
    assert "not tried, because the order of strips matters" in said


def test_a_tape_that_cannot_be_cut_leaves_no_sum() -> None:
    wide = Need(3000.0, 900.0, usable_width=300.0)

    (cut,) = grain_cuts(
        [to_cut("a", Need(3000.0, 40.0, usable_width=300.0)), to_cut("b", wide)]
    )

    assert isinstance(cut.together, NotPossible)
    assert (cut.bought, cut.alone, cut.buy) == (None, None, None)
    assert largest_sizes([("S", [cut])]) == ()
    assert any("not possible" in line for line in one_cut_lines([cut], Unit.INCH))


def test_the_largest_size_buys_most_and_of_equals_takes_most_tape() -> None:
    def size(length: float) -> tuple[GrainCut, ...]:
        return grain_cuts([to_cut("a", Need(length, 40.0, buy_step=100.0))])

    sizes = [("S", size(2000.0)), ("M", size(2500.0)), ("L", size(2400.0))]
    (one,) = largest_sizes(sizes)
    (other,) = largest_sizes([*sizes, ("XL", size(9000.0))])

    assert {cuts[0].buy for _, cuts in sizes} == {one.buy}
    assert one.size == "M"
    assert (other.size, other.buy > one.buy) == ("XL", True)


def test_the_schedule_cuts_the_two_tapes_of_the_smock_together(smock: Release) -> None:
    for size in smock.sizes:
        (cut,) = size.cuts
        again = one_cut(
            [WantedTape(row.tape.name, row.plan.need) for row in size.tapes], Grain.BIAS
        )
        assert isinstance(cut.together, OneCut)
        assert isinstance(again, OneCut)
        assert cut.together.length == again.length
        assert cut.together.lower_bound <= cut.together.length
    (largest,) = smock.largest
    assert (largest.size, largest.cloth) == ("8", "lawn")


# Text


def test_the_cover_names_the_largest_size_and_every_allowance(smock: Release) -> None:
    lines = cover_cloth_lines(smock)

    text = "\n".join(lines)
    assert "size 8 buys most: 20 cm of lawn for all tapes cut on the bias" in text
    assert text.count("  off  ") == 5
    assert_fits(text)


def test_widths_and_price_of_the_job_file_stand_on_the_cover(
    tmp_path: FilePath,
) -> None:
    job = tmp_path / "smock.toml"
    text = SMOCK.read_text("utf-8").replace(
        'drawings = ["', f'drawings = ["{SMOCK.parent}/'
    )
    extra = 'strip_seam = "6 mm"\nwidths = "usual"\nprice = "$8 per m"\n'
    extra += 'contingency_percent = 10\nsquaring_up = "3 cm"\n'
    job.write_text(text.replace('strip_seam = "6 mm"\n', extra), "utf-8")

    said = run("schedule", job, "--size", "8")

    assert said.exit_code == 0, said.err
    assert "price: $8.00 per m" in said.out
    assert "35-36 in" in said.out
    assert "150 cm" in said.out
    assert "+ 3.0 cm squaring up" in said.out
    assert "cost at $8.00 per m: " in said.out
    assert_fits(said.out)


def test_the_width_of_prepared_cloth_is_what_the_schedule_counts_with(
    tmp_path: FilePath,
) -> None:
    found = release_of(
        tmp_path,
        SQUARE,
        """
[fabric]
cloth_width = "112 cm"
selvage = "1 cm"
shrinkage_crosswise_percent = 5
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "edge"
tape = "main"
edges = ["patch 2"]
""",
    )

    need = found.sizes[0].tapes[0].plan.need
    assert need.usable_width == pytest.approx(1120 * 0.95 - 20)
    assert any("1044 mm" in line for line in cover_cloth_lines(found))


TAPE = """
[[tapes]]
name = "main"
finished_width = "9 mm"
[[runs]]
name = "edge"
tape = "main"
edges = ["patch 1", "patch 2", "patch 3"]
"""


def test_a_piece_and_scraps_that_are_there_stand_with_every_tape(
    tmp_path: FilePath,
) -> None:
    (tmp_path / "left.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" '
        'viewBox="0 0 500 500"><rect id="corner" width="300" height="200"/></svg>',
        "utf-8",
    )
    found = release_of(
        tmp_path,
        SQUARE,
        '[fabric]\nfrom = "20 x 70 cm"\nscrap = "10 x 10 cm"\nscraps = "left.svg"'
        + TAPE,
    )

    (row,) = found.sizes[0].tapes
    again = from_rectangle(row.plan.need, 200.0, 700.0)
    assert row.rectangle == again
    assert row.scraps is not None
    assert [one.scrap.name for one in row.scraps.tapes] == ["1 (10 x 10 cm)", "corner"]
    files = release_charts(found)
    assert "one-size-main-from-piece.svg" in files
    assert "one-size-main-scrap-corner.svg" in files
    text = schedule_text(found)
    assert "from 200 x 700 mm of cloth (across x along)" in text
    assert "least set: 1 scrap" in text
    assert_fits(text)
    record = release_record(found)
    assert json.dumps(record, allow_nan=False)


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ('scraps = "nothing.svg"', "nothing.svg"),
        ('scrap = ["1 x 1 cm", "20 m x 1 cm"]', "give one above 0 and up to"),
    ],
)
def test_scraps_that_cannot_be_read_are_told_with_the_table(
    lines: str, words: str, tmp_path: FilePath
) -> None:
    with pytest.raises(SettingsError) as caught:
        release_of(tmp_path, SQUARE, f"[fabric]\n{lines}{TAPE}")

    (line,) = caught.value.messages
    assert "pattern.toml: fabric: " in line
    assert words in line


def test_a_price_is_in_every_cutting_of_the_schedule(smock: Release) -> None:
    fabric = replace(smock.job.fabric, price=parse_price("10 EUR per m"))

    priced = make_release(replace(smock.job, fabric=fabric))

    for size in priced.sizes:
        for row in size.tapes:
            for cutting in row.plan.cuttings:
                assert cutting.cost == round(cutting.buy)  # 10 EUR per m: 1 coin a mm


# Charts


def test_every_tape_of_every_size_has_its_chart_of_the_way_that_buys_least(
    smock: Release,
) -> None:
    files = release_charts(smock)

    ways = ("narrow", "wide", "one-cut-bias")
    stems = [f"{size}-{way}" for size in "2468" for way in ways]
    assert sorted(files) == sorted(
        f"{s}.{kind}" for s in stems for kind in ("svg", "txt")
    )
    for size in smock.sizes:
        for row in size.tapes:
            best = row.plan.least_cloth
            assert isinstance(best, Cutting)
            title = f"{best.method}: {row.tape.name}, size {size.size}"
            text = files[f"{size.size}-{row.tape.name}.txt"]
            assert text.casefold().startswith(title)
            assert title in files[f"{size.size}-{row.tape.name}.svg"].casefold()


def test_names_that_make_one_file_name_are_numbered(smock: Release) -> None:
    size = smock.sizes[0]
    twice = replace(smock, sizes=(size, replace(size, size=" 2!")))

    files = release_charts(twice)

    assert {"2-narrow.svg", "2-narrow-2.svg"} <= set(files)


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Tube from a square", "tube-from-a-square"),
        ("../../etc/passwd", "etc-passwd"),
        ("a\nb\x00c", "a-b-c"),
        ("...", "tape"),
        ("\u00e9t\u00e9", "\u00e9t\u00e9"),
        ("x" * 300, "x" * 80),
    ],
)
def test_a_file_name_cannot_leave_its_folder(name: str, stem: str) -> None:
    assert file_stem(name) == stem


def test_schedule_writes_charts_beside_its_text(tmp_path: FilePath) -> None:
    said = run("schedule", APRON, "--size", "M", "--charts", tmp_path / "charts")

    assert said.exit_code == 0
    assert {path.name for path in (tmp_path / "charts").iterdir()} == {
        "m-main.svg",
        "m-main.txt",
    }
    assert said.err.count("wrote ") == 2
    assert said.out.startswith("Orchard apron")


def test_charts_are_not_written_over_other_work(tmp_path: FilePath) -> None:
    (tmp_path / "m-main.svg").write_text("mine", "utf-8")

    said = run("schedule", APRON, "--size", "M", "--charts", tmp_path)

    assert (said.exit_code, said.out) == (2, "")
    assert "m-main.svg" in said.err
    assert (tmp_path / "m-main.svg").read_text("utf-8") == "mine"
