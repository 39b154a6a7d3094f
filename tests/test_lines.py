import math

import pytest
from drawn import drawing, drawn
from shapes import ZOO, circle_outline, polyline, rectangle

from edgefinder.findings import Severity
from edgefinder.pattern.lines import measure_lines, scale_findings


def test_every_line_is_measured_in_drawing_order() -> None:
    lines = (drawn(circle_outline(50)), drawn(rectangle(30, 20)), drawn(polyline(0, 7)))

    measured = measure_lines(drawing(*lines))

    assert [one.line for one in measured] == list(lines)
    assert [one.length for one in measured] == pytest.approx(
        [100 * math.pi, 100.0, 7.0]
    )


def test_a_drawing_without_lines_has_nothing_to_measure() -> None:
    assert measure_lines(drawing()) == ()
    assert scale_findings(drawing()) == ()


def test_awkward_lines_are_measured_too() -> None:
    lines = [drawn(path) for path in ZOO.values()]

    measured = measure_lines(drawing(*lines))

    assert all(math.isfinite(one.length) and one.length >= 0 for one in measured)


@pytest.mark.parametrize("across", [20.0, 300.0, 3000.0])
def test_a_likely_size_raises_no_doubt(across: float) -> None:
    assert scale_findings(drawing(drawn(rectangle(across, 10)))) == ()


@pytest.mark.parametrize(
    ("across", "said"), [(19.9, "19.9 mm across"), (3000.1, "3000.1 mm across")]
)
def test_an_unlikely_size_is_a_warning_that_names_the_option(
    across: float, said: str
) -> None:
    (finding,) = scale_findings(drawing(drawn(rectangle(10, across))))

    assert finding.severity is Severity.WARNING
    assert said in finding.message
    assert "--unit-mm" in finding.message


def test_open_marks_do_not_decide_the_scale() -> None:
    frame = drawn(polyline(0, 5000))

    assert scale_findings(drawing(frame, drawn(rectangle(300, 200)))) == ()
    assert len(scale_findings(drawing(frame))) == 1
