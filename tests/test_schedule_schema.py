"""The JSON Schema of a schedule, against schedules and broken ones."""

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from schedule_schema import PATH, meanings, schedules, written

SCHEMA: Any = json.loads(PATH.read_text("utf-8"))


@pytest.fixture(scope="module")
def others() -> list[dict[str, object]]:
    """Schedules of the DXF drawings; the schema was put together from the SVG ones."""
    return schedules(drawing="dxf")


def records(schema: Any) -> Iterator[Any]:
    """Every description of a record within a schema."""
    if isinstance(schema, dict):
        if "properties" in schema:
            yield schema
        for value in schema.values():
            yield from records(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from records(value)


def test_the_schema_stands_as_the_program_writes_it() -> None:
    """``python tests/schedule_schema.py`` writes it anew."""
    assert PATH.read_text("utf-8") == written()


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def test_schedules_hold_what_the_schema_says_and_no_key_more(
    others: list[dict[str, object]],
) -> None:
    strict = copy.deepcopy(SCHEMA)
    for record in records(strict):
        record["additionalProperties"] = False
    check = Draft202012Validator(strict)

    assert len(others) >= 5
    for schedule in others:
        assert [error.message for error in check.iter_errors(schedule)] == []


def test_every_key_is_described() -> None:
    for record in records(SCHEMA):
        for key, described in record["properties"].items():
            assert described["description"], key
            assert "type" in described or "const" in described, key


def test_every_record_of_a_schedule_on_the_page_of_commands_is_in_the_schema() -> None:
    places = {at for at, _ in meanings()}

    for at in places:
        found = SCHEMA
        for key in filter(None, at.replace("[]", ".[]").split(".")):
            found = found["items"] if key == "[]" else found["properties"][key]
        assert "properties" in found, at


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("pattern",), 3),
        (("schema", "version"), 2),
        (("sizes", 0, "runs", 0, "tape_mm"), "301 mm"),
        (("sizes", 0, "runs", 0, "closed"), None),
        (("sizes", 0, "places", 0, "verdict"), "fine"),
        (("sizes", 0, "pieces"), {}),
    ],
)
def test_a_wrong_value_is_told(
    others: list[dict[str, object]], path: tuple[str | int, ...], value: object
) -> None:
    spoilt: Any = copy.deepcopy(others[0])
    inner = spoilt
    for key in path[:-1]:
        inner = inner[key]
    assert path[-1] in inner
    inner[path[-1]] = value

    errors = list(Draft202012Validator(SCHEMA).iter_errors(spoilt))

    assert [tuple(error.absolute_path) for error in errors] == [path]


def test_a_missing_key_is_told(others: list[dict[str, object]]) -> None:
    spoilt: Any = copy.deepcopy(others[0])
    del spoilt["sizes"][0]["runs"][0]["tape_mm"]

    (error,) = Draft202012Validator(SCHEMA).iter_errors(spoilt)

    assert "tape_mm" in error.message
