import math
from typing import cast

import pytest
from shapes import circle_outline, polygon, polyline, rounded_rectangle
from tape_cases import drawn, piece_of

from edgefinder.geometry.measured import measure
from edgefinder.geometry.path import Path
from edgefinder.pattern.lines import MeasuredLine
from edgefinder.reports.fabric_records import plan_record
from edgefinder.reports.records import (
    Record,
    edge_record,
    lines_records,
    pieces_records,
)
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.methods import cut_everything


def one_line(path: Path, *, label: str | None = None) -> Record:
    line = drawn(path, label=label, layer="Size M")
    (record,) = lines_records([MeasuredLine(line, measure(path).length)])
    return record


def rows(record: Record, key: str) -> list[Record]:
    return cast("list[Record]", record[key])


def test_a_line_has_what_the_drawing_says_about_it_its_length_and_its_gap() -> None:
    record = one_line(polyline(0, 100, 100 + 50j), label="hem")

    expected = {"id", "kind", "layer", "colour", "label", "closed", "length_mm"}
    assert expected | {"gap_mm"} <= record.keys()
    assert record["layer"] == "Size M"
    assert record["label"] == "hem"
    assert record["id"] is None
    assert record["closed"] is False
    assert record["length_mm"] == pytest.approx(150)
    assert record["gap_mm"] == pytest.approx(math.hypot(100, 50))


def test_a_closed_line_has_no_gap() -> None:
    record = one_line(circle_outline(10))

    assert record["closed"] is True
    assert record["gap_mm"] == 0.0


def test_a_piece_has_its_perimeter_area_and_edges() -> None:
    (record,) = pieces_records([piece_of(polygon(0, 200, 200 + 100j, 100j))])

    expected = {"name", "size", "layer", "perimeter_mm", "area_mm2", "edges"}
    assert expected <= record.keys()
    assert record["name"] == "piece"
    assert record["size"] is None
    assert record["perimeter_mm"] == pytest.approx(600)
    assert record["area_mm2"] == pytest.approx(20_000)
    edges = rows(record, "edges")
    assert [edge["number"] for edge in edges] == [1, 2, 3, 4]
    assert [edge["length_mm"] for edge in edges] == pytest.approx([200, 100, 200, 100])
    assert edges[0]["start_mm"] == [0.0, 0.0]
    assert edges[0]["end_mm"] == [200.0, 0.0]


def test_a_radius_is_null_where_the_edge_has_no_such_curve() -> None:
    straight = edge_record(piece_of(polygon(0, 200, 200 + 100j)).edges[0])
    rounded = edge_record(piece_of(rounded_rectangle(200, 100, 15)).edges[0])

    for side in ("inside", "outside"):
        assert straight[f"tightest_{side}_mm"] is None
        assert straight[f"tightest_{side}_at_mm"] is None
    assert rounded["tightest_inside_mm"] is None
    assert rounded["tightest_inside_at_mm"] is None
    assert rounded["tightest_outside_mm"] == pytest.approx(15)
    assert isinstance(rounded["tightest_outside_at_mm"], float)
    assert rounded["turning_deg"] == pytest.approx(360)


def test_a_plan_has_every_method_and_the_square_root_rule() -> None:
    # 144 in of 2 in, seams of 1/4 in: the rule says 16.97 in, which yields 116.5 in
    # (derived from n = floor((W - 2s)/(c sqrt 2)), L = n sqrt 2 (H - 2s)).
    inch = 25.4
    need = Need(144 * inch, 2 * inch, seam=inch / 4, usable_width=42 * inch)

    record = plan_record(cut_everything(need), Unit.INCH)

    assert record["length_mm"] == pytest.approx(144 * inch)
    assert record["cut_width_mm"] == pytest.approx(2 * inch)
    rule = cast("dict[str, float]", record["square_root_rule"])
    assert rule.keys() == {"side_mm", "yield_mm", "short_mm"}
    assert rule["side_mm"] / inch == pytest.approx(16.97, abs=0.005)
    assert rule["yield_mm"] / inch == pytest.approx(116.5, abs=0.05)
    assert rule["short_mm"] == pytest.approx(144 * inch - rule["yield_mm"])
    methods = rows(record, "methods")
    assert {str(m["method"]) for m in methods} == {
        "tube from a square",
        "tube from a rectangle",
        "bias strips",
        "crosswise strips",
        "lengthwise strips",
    }
    for method in methods:
        expected = {"method", "yield_mm", "cut_mm", "strips", "joins", "spare_mm"}
        assert expected | {"waste_percent", "buy_mm"} <= method.keys()
        across, along = cast("list[float]", method["ruler_mm"])
        yielded, spare = (cast("float", method[k]) for k in ("yield_mm", "spare_mm"))
        assert yielded - spare == pytest.approx(144 * inch)
        waste = 100 * (1 - 144 * 2 * inch * inch / (across * along))
        assert method["waste_percent"] == pytest.approx(waste)
    # 17.47 in is the side that is needed.
    (square,) = (m for m in methods if m["method"] == "tube from a square")
    side = cast("list[float]", square["cut_mm"])[0]
    assert side / inch == pytest.approx(17.47, abs=0.005)


def test_a_method_that_is_not_possible_stands_apart_with_its_reason() -> None:
    record = plan_record(cut_everything(Need(60_000.0, 50.0)), Unit.CENTIMETRE)

    (other,) = (
        r for r in rows(record, "not_possible") if r["method"] == "tube from a square"
    )
    assert "wide" in str(other["reason"])
