import json

import pytest
from tape_cases import DEMO_NAMES, demo_job

from edgefinder import __version__
from edgefinder.findings import note
from edgefinder.reports.json_text import SCHEMA_VERSION, to_json
from edgefinder.reports.release_records import curves_records, release_record
from edgefinder.schedule.release import make_release


def test_schema_units_and_findings_stand_at_the_top() -> None:
    text = to_json("lines", {"lines": []}, [note("code", "a.svg", "is odd")])

    record = json.loads(text)
    assert list(record) == [
        "schema",
        "tool",
        "version",
        "units",
        "findings",
        "lines",
    ]
    assert record["schema"] == {"name": "edgefinder.lines", "version": SCHEMA_VERSION}
    assert (record["tool"], record["version"]) == ("edgefinder", __version__)
    assert record["units"] == {"length": "mm", "area": "mm2", "angle": "deg"}
    assert record["findings"] == [
        {"code": "code", "severity": "note", "where": "a.svg", "message": "is odd"}
    ]


def test_a_name_from_a_drawing_cannot_send_control_characters() -> None:
    text = to_json("lines", {"name": "a\x1b[31m\u202eb\n\u009bc"}, [])

    assert text.isascii()
    assert all(c.isprintable() or c == "\n" for c in text)
    assert json.loads(text)["name"] == "a\x1b[31m\u202eb\n\u009bc"


def test_numbers_keep_their_full_precision() -> None:
    third = 1000 / 3

    assert json.loads(to_json("x", {"length_mm": third}, []))["length_mm"] == third


def test_what_is_not_a_number_is_never_written() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        to_json("x", {"length_mm": float("nan")}, [])


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_same_input_gives_the_same_bytes(name: str) -> None:
    def written() -> tuple[str, str]:
        release = make_release(demo_job(name))
        return (
            to_json("schedule", release_record(release), release.findings),
            to_json("curves", {"sizes": curves_records(release)}, release.findings),
        )

    first = written()

    assert first == written()
    assert all(text.endswith("}\n") for text in first)
