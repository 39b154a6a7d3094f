"""What the forms of the page say, and in which words mistakes are told."""

from pathlib import Path
from typing import Any

import pytest
from page_server import Page, running
from test_page_changes import HEAD, RUN, SQUARES

from edgefinder.classifier.keys import Kind
from edgefinder.page.forms import SHOWN, form_data, in_labels

KEYS = [key for keys in SHOWN.values() for key in keys]


def job_of(folder: Path, text: str = RUN, head: str = HEAD) -> Path:
    (folder / "p.svg").write_text(SQUARES, "utf-8")
    (folder / "p.toml").write_text(head + text, "utf-8")
    return folder / "p.toml"


def refused(page: Page, **change: Any) -> str:
    """Ask for a change that cannot be made, and return what is said."""
    before = page.job.read_bytes()
    answer = page.change(**change)
    assert answer.status == 422
    assert page.job.read_bytes() == before
    return " ".join(answer.data["mistakes"])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            {"do": "set", "kind": "runs", "name": "top", "key": "start"}
            | {"value": "ties"},
            "tie length: is missing",
        ),
        (
            {"do": "set", "kind": "tapes", "name": "main", "key": "finished_width"}
            | {"value": "9"},
            'finished width: "9" has no unit',
        ),
        (
            {"do": "call", "size": "1", "piece": "front", "edge": 3, "name": "all"},
            'pieces "front": name: all: means something already',
        ),
        (
            {"do": "add", "kind": "cloths", "name": "curtain", "stretch": 900},
            "stretch limit: ",
        ),
    ],
)
def test_a_refused_change_is_told_with_the_labels_of_the_fields(
    tmp_path: Path, change: dict[str, Any], said: str
) -> None:
    with running(job_of(tmp_path)) as page:
        told = refused(page, **change)
    assert said in told
    assert "_" not in told.replace(str(tmp_path), "")


def test_only_keys_are_replaced_by_labels() -> None:
    assert in_labels("tie_length: is missing") == "tie length: is missing"
    assert in_labels('"side_seam" and tie_lengths') == '"side_seam" and tie_lengths'


def test_no_help_says_true_where_a_box_is_ticked() -> None:
    fields = {one["key"]: one for form in form_data().values() for one in form}
    ticked = [key.name for key in KEYS if key.kind is Kind.TRUTH]
    assert "closed" in ticked
    assert not [name for name in ticked if "true" in fields[name]["meaning"]]
    assert fields["closed"]["meaning"].startswith("yes for a loop")


def test_a_width_is_shown_as_it_is_written(tmp_path: Path) -> None:
    head = HEAD.replace("9 mm", "16.5 mm").replace("\n\n", '\nunit = "mm"\n\n', 1)
    with running(job_of(tmp_path, head=head)) as page:
        (tape,) = page.state("1")["tapes"]
    assert tape["finishedWidth"] == "16.5 mm"
