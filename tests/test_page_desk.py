"""The job file under a page: undo, other programs, other pages, a full disk."""

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest
from test_page_changes import HEAD, RUN, SQUARES, change, desk_of, finish, finishes

from edgefinder.classifier.job_file import read_job
from edgefinder.classifier.own_list import NOTHING
from edgefinder.errors import EdgefinderError, OutputError
from edgefinder.files import WRITING_S, alone_with
from edgefinder.page import desk as desk_module
from edgefinder.page.desk import Desk


def test_changes_are_undone_and_done_again(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    texts = [desk.path.read_text("utf-8")]
    for edge in ("back 1", "back 2", "back 3"):
        finish(desk, edge, "hem")
        texts.append(desk.path.read_text("utf-8"))
    assert desk.look().undo == "an edge hem"
    for text in texts[-2::-1]:
        desk.undo(desk.look().revision)
        assert desk.path.read_text("utf-8") == text
    assert desk.look().undo is None
    assert desk.undo(desk.look().revision).text == texts[0]
    for text in texts[1:]:
        desk.redo(desk.look().revision)
        assert desk.path.read_text("utf-8") == text
    desk.undo(desk.look().revision)
    finish(desk, "back 4", "raw")
    assert desk.look().redo is None


def test_what_another_program_writes_is_shown_and_never_lost(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    finish(desk, "back 1", "hem")
    other = desk.path.read_text("utf-8") + "\n# by hand\n"
    desk.path.write_text(other, "utf-8")
    seen = desk.look()
    assert "another program" in (seen.notice or "")
    assert seen.undo is None
    finish(desk, "back 2", "raw")
    assert desk.path.read_text("utf-8").endswith("# by hand\n")
    assert desk.look().notice is None


def test_a_change_after_an_outside_change_must_be_asked_for_again(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path, RUN)
    old = desk.look().revision
    other = desk.path.read_text("utf-8") + "\n# by hand\n"
    desk.path.write_text(other, "utf-8")
    with pytest.raises(EdgefinderError, match="changed meanwhile"):
        desk.undo(old)
    assert desk.path.read_text("utf-8") == other


def test_a_file_that_cannot_be_read_any_more_is_left_alone(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    desk.path.write_text("broken = [", "utf-8")
    seen = desk.look()
    assert "cannot be read" in (seen.notice or "")
    assert seen.draft.release is not None  # what was known is still shown
    finish(desk, "back 1", "hem")
    assert desk.path.read_text("utf-8") == "broken = ["
    assert desk.look().problem is not None
    desk.path.write_text(HEAD + RUN, "utf-8")
    desk.undo(desk.look().revision)
    assert desk.path.read_text("utf-8") == HEAD + RUN


def test_a_drawing_that_changes_is_read_anew(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.look()
    drawing = tmp_path / "p.svg"
    drawing.write_text(SQUARES.replace("h200 v200 h-200", "h202 v200 h-202"), "utf-8")
    os.utime(drawing, ns=(1, 1))
    seen = desk.look()
    assert seen.revision != before.revision
    assert "drawing" in (seen.notice or "")
    assert seen.draft.release is not None
    run = seen.draft.release.sizes[0].runs[0].run
    assert run.length == pytest.approx(200 + 202, abs=1e-6)
    drawing.unlink()
    gone = desk.look()
    assert gone.draft.release is None
    assert "not there" in " ".join(gone.draft.mistakes) or gone.draft.mistakes


def test_what_cannot_be_saved_is_kept_and_saved_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_bytes()

    def full(_: Any) -> None:
        raise OutputError("p.toml: cannot be written: No space left on device")

    with monkeypatch.context() as held:
        held.setattr(desk_module, "write_edited", full)
        seen = finish(desk, "back 1", "hem")
        assert "No space" in (seen.problem or "")
        assert desk.path.read_bytes() == before
        assert "hem = [1]" in desk.look().text
    assert desk.save().problem is None
    assert "hem = [1]" in desk.path.read_text("utf-8")


def test_two_programs_on_one_file_lose_nothing_of_each_other(tmp_path: Path) -> None:
    """Each change is either in the file or was refused, whoever comes first."""
    first = desk_of(tmp_path, RUN)
    second = Desk(first.path, lambda: NOTHING)
    done: list[str] = []

    def click(desk: Desk, piece: str, what: str) -> None:
        for _ in range(6):
            for edge in (1, 2, 3, 4):
                try:
                    seen = finish(desk, f"{piece} {edge}", what)
                except EdgefinderError:
                    continue
                if seen.problem is None:
                    done.append(f"1 {piece} {edge}")

    threads = [
        threading.Thread(target=click, args=(first, "front", "facing")),
        threading.Thread(target=click, args=(second, "back", "raw")),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = finishes(first.path)
    assert done
    for edge in done:
        assert found[edge] in {"facing", "raw"}, edge
    assert sorted(path.name for path in tmp_path.iterdir()) == ["p.svg", "p.toml"]


def test_a_sign_left_by_a_crash_does_not_count(tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    sign = tmp_path / ".p.toml.writing"
    sign.touch()
    old = time.time() - WRITING_S - 1
    os.utime(sign, (old, old))
    with alone_with(path):
        assert sign.exists()
    assert not sign.exists()


CLICKER = """
import sys
sys.path.insert(0, {tests!r})
from pathlib import Path
from test_page_changes import finish
from edgefinder.classifier.own_list import NOTHING
from edgefinder.page.desk import Desk
desk = Desk(Path({job!r}), lambda: NOTHING)
print("begun", flush=True)
while True:
    for edge in (1, 2, 3, 4):
        for what in ("hem", "raw", "facing"):
            finish(desk, f"back {{edge}}", what)
"""


def test_a_program_killed_in_the_middle_leaves_a_whole_file(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    tests = str(Path(__file__).parent)
    code = CLICKER.format(tests=tests, job=str(desk.path))
    for wait in (0.05, 0.11, 0.17):
        with subprocess.Popen(  # noqa: S603 - this very program
            [sys.executable, "-c", code], stdout=subprocess.PIPE
        ) as clicking:
            assert clicking.stdout is not None
            assert clicking.stdout.readline() == b"begun\n"
            time.sleep(wait)
            clicking.send_signal(signal.SIGKILL)
        assert desk.path.read_text("utf-8").startswith(HEAD)
        job = read_job(desk.path)
        assert [run.name for run in job.runs] == ["top"]


def test_a_job_without_anything_said_is_shown_with_what_is_missing(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path, "")
    draft = desk.look().draft
    assert draft.mistakes == ()
    assert "no edge is bound" in draft.missing[0]
    assert draft.tagged is not None


def test_pieces_are_shown_while_rules_disagree(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    both = '\n[[pieces]]\nname = "front"\nhem = [1]\nraw = [1]\n'
    desk.path.write_text(HEAD + both, "utf-8")
    draft = desk.look().draft
    assert "hem" in draft.mistakes[0]
    assert draft.tagged is not None
    assert draft.release is None
    finish(desk, "back 3", "raw")  # other edges can still be tagged
    finish(desk, "front 1", "facing")  # and this one mended
    assert desk.look().draft.mistakes == ()


def test_a_job_with_own_words_in_other_tables_is_kept(tmp_path: Path) -> None:
    text = RUN + "\n# last words\n"
    desk = desk_of(tmp_path, text)
    change(desk, do="set", kind="fabric", name="", key="cloth", value="linen")
    after = desk.path.read_text("utf-8")
    assert after.startswith(HEAD[: HEAD.index("[[tapes]]")])
    assert '[fabric]\ncloth = "linen"\n' in after
    assert after.endswith("# last words\n")


def test_an_unsaved_change_gives_way_when_it_is_undone(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    other = HEAD + RUN + "# by hand\n"
    with pytest.MonkeyPatch.context() as held:

        def full(_: Any) -> None:
            raise OutputError("p.toml: cannot be written: No space left on device")

        held.setattr(desk_module, "write_edited", full)
        finish(desk, "back 1", "hem")
    desk.path.write_text(other, "utf-8")
    seen = desk.look()
    assert "another program" in (seen.problem or "")
    assert desk.path.read_text("utf-8") == other
    desk.undo(seen.revision)
    assert desk.look().text == other
    assert desk.look().problem is None


def test_a_job_file_that_is_taken_away_is_written_anew(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    desk.path.unlink()
    assert "is gone" in (desk.look().notice or "")
    finish(desk, "back 1", "hem")
    assert desk.path.read_text("utf-8").startswith(HEAD)


def test_a_doubt_is_settled_by_saying_which_edge_it_is(tmp_path: Path) -> None:
    """A square beside an oblong: nothing tells how it was turned."""
    desk = desk_of(tmp_path, RUN)
    drawing = SQUARES.replace("h200 v200 h-200", "h220 v200 h-220")
    (tmp_path / "p.svg").write_text(drawing, "utf-8")
    os.utime(tmp_path / "p.svg", ns=(1, 1))
    seen = desk.look()
    for _ in range(8):
        if not seen.draft.doubts:
            break
        doubt = seen.draft.doubts[0]
        (edge,) = doubt.edges
        assert doubt.message in seen.draft.mistakes[0]
        seen = change(
            desk,
            do="decide",
            piece=doubt.piece,
            size=doubt.size,
            edge=edge,
            number=edge,
        )
    assert seen.draft.mistakes == ()
    assert seen.draft.release is not None
    assert '"2 in 2" = 2' in desk.path.read_text("utf-8")
    for size, wide, high in (("1", 220, 200), ("2", 210, 210)):
        run = next(s for s in seen.draft.release.sizes if s.size == size).runs[0].run
        assert run.length == pytest.approx(wide + high)
