"""What the edges were is written where a person sees whose it is."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from odd_jobs import PIECES, comments_of, loaded, odd_jobs

from edgefinder.classifier.editing.drawn_rows import write_as_drawn

ROWS = [[0, 412.0, 12.0, 90.0, 0.0, -0.0], [1, 31.25, -360, 0, 100.5, 1e-5]]

WRITTEN = """\
[pieces.as_drawn]   # written by edgefinder: the edges as they were when numbered
size = "M"
edges = [   # ring, length mm, turning deg, corner after deg, start x mm, start y mm \
from the lower left
  [0, 412.0, 12.0, 90.0, 0.0, 0.0],        # 1
  [1, 31.25, -360.0, 0.0, 100.5, 1e-05],   # 2
]
"""

JOB = """\
[[pieces]]
name = "front"
raw = 2   # the vent
# edges of the front: 1, 2

# --- the back ---
[[pieces]]
name = "back"
[pieces.allowances]
2 = "6 mm"
# of the back
[[runs]]
name = "neck"
"""


def test_the_rows_stand_below_what_is_said_about_the_piece() -> None:
    front = "# edges of the front: 1, 2\n"
    back = '2 = "6 mm"\n'

    assert write_as_drawn(JOB, "Front", "M", ROWS) == JOB.replace(
        front, f"{front}\n{WRITTEN}"
    )
    assert write_as_drawn(JOB, "back", "M", ROWS) == JOB.replace(
        back, f"{back}\n{WRITTEN}\n"
    )


def test_rows_that_are_there_are_replaced_where_they_stand() -> None:
    first = write_as_drawn(JOB, "front", '10 "tall"', [[0, 1.0, 0, 0, 0, 0]])

    assert write_as_drawn(first, "front", "M", ROWS) == write_as_drawn(
        JOB, "front", "M", ROWS
    )


@pytest.mark.parametrize(
    "written",
    [
        'as_drawn = { size = "S", edges = [[0, 1, 2, 3, 4, 5]] }\n',
        'as_drawn.size = "S"\nas_drawn.edges = [\n  [0, 1, 2, 3, 4, 5],\n]\n',
    ],
)
def test_rows_in_another_form_are_replaced_by_a_table(written: str) -> None:
    text = JOB.replace("raw = 2", f"{written}raw = 2")

    assert write_as_drawn(text, "front", "M", ROWS) == write_as_drawn(
        JOB, "front", "M", ROWS
    )


def test_a_piece_that_has_no_table_is_given_one() -> None:
    after = write_as_drawn("", "back", "M", ROWS)

    assert after == f'[[pieces]]\nname = "back"\n\n{WRITTEN}'


numbers = st.floats(-1e6, 1e6).map(lambda x: round(x, 2))
rows = st.lists(
    st.tuples(st.integers(0, 3), numbers, numbers, numbers, numbers, numbers),
    min_size=1,
    max_size=4,
)


@given(odd_jobs(), st.sampled_from([*PIECES, "pocket"]), rows, rows)
def test_in_an_odd_job_the_rows_read_back_and_the_rest_is_as_it_was(
    text: str,
    piece: str,
    first: list[tuple[float, ...]],
    second: list[tuple[float, ...]],
) -> None:
    once = write_as_drawn(text, piece, "S", first)
    again = write_as_drawn(once, piece, "M", second)

    expected = loaded(text)
    tables = expected.setdefault("pieces", [])
    if piece not in [table["name"] for table in tables]:
        tables.append({"name": " ".join(piece.split())})
    table = next(t for t in tables if t["name"].split() == piece.split())
    table["as_drawn"] = {"size": "S", "edges": [list(row) for row in first]}
    assert loaded(once) == expected
    table["as_drawn"] = {"size": "M", "edges": [list(row) for row in second]}
    assert loaded(again) == expected
    known = comments_of(text)
    assert [comment for comment in comments_of(again) if comment in known] == known
    kept = iter(again)
    assert all(character in kept for character in text)
    assert write_as_drawn(again, piece, "S", first) == once


def test_a_number_that_is_none_is_not_written() -> None:
    with pytest.raises(ValueError, match="row"):
        write_as_drawn(JOB, "front", "M", [[0, float("nan"), 0, 0, 0, 0]])
