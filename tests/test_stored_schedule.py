"""Reading back what ``schedule --json`` printed; nothing else passes."""

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tape_cases import DEMO_NAMES, demo_job

from edgefinder.errors import DrawingError, SettingsError
from edgefinder.reports.compared_records import compared_pattern
from edgefinder.reports.json_text import to_json
from edgefinder.reports.release_records import release_record
from edgefinder.reports.stored_schedule import MOST_BYTES, is_stored, read_stored
from edgefinder.schedule.release import make_release

AGAIN = "edgefinder schedule JOB --json"


def smallest() -> Any:
    """A schedule with one of everything that is compared."""
    return {
        "schema": {"name": "edgefinder.schedule", "version": 1},
        "sizes": [
            {
                "size": "M",
                "pieces": [
                    {
                        "name": "front",
                        "cut": 1,
                        "perimeter_mm": 1200.0,
                        "edges": [
                            {
                                "number": 1,
                                "edge": "neck",
                                "length_mm": 200.0,
                                "finish": "bound",
                                "allowance_mm": 0,
                                "bound_length_mm": 180.0,
                            }
                        ],
                    }
                ],
                "runs": [
                    {
                        "name": "neck",
                        "tape": "main",
                        "closed": False,
                        "times": 1,
                        "length_mm": 180.0,
                        "tape_to_cut_mm": 200.0,
                        "edges": [
                            {
                                "piece": "front",
                                "edge": 1,
                                "mirrored": False,
                                "bound_mm": 180.0,
                            }
                        ],
                    }
                ],
                "places": [
                    {"run": "neck", "piece": "front", "edge": 1, "verdict": "too tight"}
                ],
                "tapes": [
                    {
                        "name": "main",
                        "finished_width_mm": 9.0,
                        "cut_width_mm": 36.0,
                        "fold": "double fold",
                        "grain": "bias",
                        "cloth": "lawn",
                        "total_mm": 200.0,
                    }
                ],
                "fabric": [
                    {
                        "tape": "main",
                        "usable_width_mm": 1000.0,
                        "strip_seam_mm": 6.0,
                        "least_waste": "tube",
                        "methods": [
                            {"method": "tube", "buy_mm": 300.0},
                            {"method": "strips", "buy_mm": 200.0},
                        ],
                        "packets": {"count": 2},
                    }
                ],
            }
        ],
    }


def written(folder: Path, value: object, name: str = "old.json") -> Path:
    path = folder / name
    path.write_text(json.dumps(value), "utf-8")
    return path


def mistake(path: Path) -> str:
    """The one line that is said of a file that is no schedule."""
    with pytest.raises(SettingsError) as caught:
        read_stored(path)
    (message,) = caught.value.messages
    assert message.startswith(f"{path}: ")
    assert len(message) < len(str(path)) + 300
    return message.removeprefix(f"{path}: ")


def spots(value: Any) -> Iterator[tuple[Any, Any]]:
    """Every container of a record with each of its keys or indices."""
    keys = list(value) if isinstance(value, dict) else range(len(value))
    for key in keys:
        yield value, key
        if isinstance(value[key], dict | list):
            yield from spots(value[key])


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_stored_schedule_is_the_one_that_was_printed(
    name: str, tmp_path: Path
) -> None:
    record = release_record(make_release(demo_job(name)))
    path = tmp_path / "old.json"
    path.write_text(to_json("schedule", record, ()), "utf-8")

    assert read_stored(path) == compared_pattern(record, "job", is_schedule=True)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-32"])
def test_what_a_command_window_wrote_in_another_encoding_is_read(
    encoding: str, tmp_path: Path
) -> None:
    plain = written(tmp_path, smallest())
    other = tmp_path / "other.txt"
    other.write_bytes(json.dumps(smallest()).encode(encoding))

    assert is_stored(other)
    assert read_stored(other) == read_stored(plain)


def test_the_figures_are_those_of_the_record(tmp_path: Path) -> None:
    (size,) = read_stored(written(tmp_path, smallest())).sizes

    (fabric,) = size.fabric
    assert (fabric.least_waste, fabric.least_cloth) == (300.0, 200.0)
    assert fabric.packets == 2
    (edge,) = size.pieces[0].edges
    assert (edge.number, edge.label, edge.bound_length) == (1, "neck", 180.0)


@pytest.mark.parametrize(
    ("written_as", "label"), [(None, "1"), (1, "1"), ("2", "2"), ("1a", "1a")]
)
def test_an_edge_is_called_by_its_number_where_the_record_does_not_say(
    written_as: object, label: str, tmp_path: Path
) -> None:
    value = smallest()
    value["sizes"][0]["pieces"][0]["edges"][0]["edge"] = written_as

    (size,) = read_stored(written(tmp_path, value)).sizes

    assert size.pieces[0].edges[0].label == label
    assert size.runs[0].edges[0].edge == "1"


def test_keys_that_came_later_are_passed_over(tmp_path: Path) -> None:
    value = smallest()
    for container, _ in list(spots(value)):
        if isinstance(container, dict):
            container["later"] = [{}]

    assert read_stored(written(tmp_path, value)) == read_stored(
        written(tmp_path, smallest(), "plain.json")
    )


MAY_BE_LEFT_OUT = {"packets", "least_waste", "bound_length_mm"}


def is_required(container: Any, key: Any) -> bool:
    """Whether a schedule cannot be without a key: an edge of a piece needs no name."""
    names_itself = key == "edge" and "number" in container
    return (
        isinstance(container, dict) and key not in MAY_BE_LEFT_OUT and not names_itself
    )


REQUIRED = [at for at, spot in enumerate(spots(smallest())) if is_required(*spot)]


@pytest.mark.parametrize("at", REQUIRED)
def test_every_key_that_is_left_out_is_told_by_its_place(
    at: int, tmp_path: Path
) -> None:
    value = smallest()
    container, key = list(spots(value))[at]
    del container[key]

    message = mistake(written(tmp_path, value))

    assert re.match(rf"([\w.\[\]]+\.)?{key}: is missing; ", message)
    assert AGAIN in message


HOSTILE: tuple[Any, ...] = (
    None,
    True,
    -1,
    -0.5,
    10**400,
    1e300,
    "",
    "x" * 10**5,
    "\x1b[31m\n",
    "\ud800",
    [],
    {},
    [None],
    [[]],
    {"a": {}},
)


@given(data=st.data())
def test_a_value_of_another_kind_is_refused_in_one_line_or_does_no_harm(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    value = copy.deepcopy(smallest())
    container, key = data.draw(st.sampled_from(list(spots(value))))
    container[key] = data.draw(st.sampled_from(HOSTILE))
    path = written(tmp_path_factory.mktemp("hostile"), value)

    try:
        read_stored(path)
    except SettingsError as error:
        (message,) = error.messages
        assert message.startswith(f"{path}: ")
        assert message.isprintable()
        assert len(message) < len(str(path)) + 300


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "is not JSON: line 1: "),
        ('{"a": 1,\n}', "is not JSON: line 2: "),
        ("[" * 100_000, "is nested too deeply"),
        ('{"a":' * 100_000, "is nested too deeply"),
        ('{"a": NaN}', "NaN is no number"),
        ('{"a": -Infinity}', "-Infinity is no number"),
        ('{"a": ' + "9" * 5000 + "}", "a number of thousands of digits"),
        ("[1, 2]", "must be an object"),
        ("3", "must be an object"),
        ("null", "must be an object"),
        ("{}", "schema: is missing"),
        ('{"schema": 1}', "schema: must be an object"),
    ],
)
def test_what_is_not_a_record_is_refused(text: str, words: str, tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(text, "utf-8")

    message = mistake(path)

    assert words in message
    assert AGAIN in message


def test_a_number_that_overflows_is_refused_at_its_place(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_text(json.dumps(smallest()).replace("1200.0", "1e999"), "utf-8")

    assert mistake(path).startswith("sizes[0].pieces[0].perimeter_mm: is inf, not ")


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    path.write_bytes(b'{"a": "\xff\xfe\xfa"}')

    assert "is not text" in mistake(path)


@pytest.mark.parametrize("version", [0, 2, 10**9])
def test_another_version_of_the_keys_is_refused(version: int, tmp_path: Path) -> None:
    value = smallest()
    value["schema"]["version"] = version

    message = mistake(written(tmp_path, value))

    assert message.startswith(f"schema.version: is {version}, and this edgefinder ")


@pytest.mark.parametrize("name", ["edgefinder.edges", "edgefinder.curves", "other"])
def test_the_record_of_another_command_is_refused(name: str, tmp_path: Path) -> None:
    value = smallest()
    value["schema"]["name"] = name

    message = mistake(written(tmp_path, value))

    assert message.startswith(f'schema.name: is "{name.removeprefix("edgefinder.")}"')


def test_a_schedule_without_pieces_or_with_an_unknown_method_is_refused(
    tmp_path: Path,
) -> None:
    empty, unknown = smallest(), smallest()
    empty["sizes"] = []
    unknown["sizes"][0]["fabric"][0]["least_waste"] = "magic"

    assert mistake(written(tmp_path, empty)).startswith("sizes: holds no piece")
    assert "sizes[0].fabric[0].least_waste: " in mistake(written(tmp_path, unknown))


def test_an_unknown_verdict_is_told_with_the_known_ones(tmp_path: Path) -> None:
    value = smallest()
    value["sizes"][0]["places"][0]["verdict"] = "fine"

    message = mistake(written(tmp_path, value))

    assert message.startswith('sizes[0].places[0].verdict: is "fine", not one of ')
    assert '"too tight"' in message


def test_a_file_too_large_for_a_schedule_is_not_read_whole(tmp_path: Path) -> None:
    path = tmp_path / "old.json"
    with path.open("wb") as stream:
        stream.write(b"{")
        stream.truncate(MOST_BYTES * 4)

    assert mistake(path).startswith(f"has more than the {MOST_BYTES} bytes ")


def test_a_missing_file_is_told_like_any_other(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match="there is no such file"):
        is_stored(tmp_path / "old.json")


@pytest.mark.parametrize(
    ("name", "start", "stored"),
    [
        ("a.json", "<svg", True),
        ("a.txt", "\ufeff \n {", True),
        ("a.txt", "[", True),
        ("a.svg", "<svg", False),
        ("a.dxf", "0\nSECTION", False),
    ],
)
def test_json_is_known_by_its_name_or_its_first_bracket(
    name: str, start: str, stored: bool, tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_text(start, "utf-8")

    assert is_stored(path) == stored
