"""A diff shows what will change and lets nothing in a file act on the screen."""

import re

from hypothesis import given
from hypothesis import strategies as st

from edgefinder.classifier.editing.text_diff import unified_diff


def test_a_changed_line_is_shown_with_what_is_around_it() -> None:
    before = "a\nb\nc\nd\ne\nf\n"

    assert unified_diff("apron.toml", before, before.replace("e", "E")) == (
        "--- apron.toml\n+++ apron.toml\n@@ -2,5 +2,5 @@\n b\n c\n d\n-e\n+E\n f\n"
    )


def test_texts_that_are_equal_have_no_difference() -> None:
    assert unified_diff("apron.toml", "a\nb", "a\nb") == ""
    assert unified_diff("apron.toml", "a\r\nb\r\n", "a\nb\n") == ""


def test_a_last_line_that_does_not_end_is_marked() -> None:
    assert unified_diff("x", "a", "a\nb\n") == (
        "--- x\n+++ x\n@@ -1 +1,2 @@\n-a\n\\ No newline at end of file\n+a\n+b\n"
    )


@given(st.text(), st.text(), st.text())
def test_nothing_but_tabs_and_line_ends_is_left_of_what_is_not_seen(
    path: str, before: str, after: str
) -> None:
    shown = unified_diff(path, before, after)

    assert all(c.isprintable() or c in "\t\n" for c in shown)


def patched(text: str, diff: str) -> str:
    """Make the second text of the first one, as the format of a unified diff says."""
    old = text.splitlines(keepends=True)
    new: list[str] = []
    at = 0
    is_new = False
    for line in diff.splitlines()[2:]:
        hunk = re.fullmatch(r"@@ -(\d+)(,\d+)? \+\d+(,\d+)? @@", line)
        if hunk:
            start = int(hunk[1]) - (hunk[2] != ",0")
            new += old[at:start]
            at = start
        elif line.startswith("\\"):
            if is_new:
                new[-1] = new[-1].removesuffix("\n")
        else:
            is_new = line[0] in " +"
            if line[0] in " -":
                assert old[at].removesuffix("\n") == line[1:]
                at += 1
            new += [f"{line[1:]}\n"] * is_new
    return "".join(new + old[at:])


lines = st.lists(st.sampled_from(["a", "b", "\tc", "", "- d", "+ e"]), max_size=8)


@given(lines, lines, st.sampled_from(["", "\n"]), st.sampled_from(["", "\n"]))
def test_the_second_text_can_be_made_of_the_first_by_it(
    old: list[str], new: list[str], old_end: str, new_end: str
) -> None:
    before, after = "\n".join(old) + old_end, "\n".join(new) + new_end

    assert patched(before, unified_diff("job.toml", before, after)) == after
