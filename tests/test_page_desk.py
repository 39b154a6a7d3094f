"""The job file under a page: undo, other programs, other pages, a full disk."""

import gc
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest
from interchange_files import file_of, rule_file
from test_interchange_grading import RULES, square
from test_page_changes import HEAD, RUN, SQUARES, change, desk_of, finish, finishes

from edgefinder import files
from edgefinder.classifier.job_file import read_job
from edgefinder.classifier.own_list import NOTHING
from edgefinder.errors import EdgefinderError, OutputError
from edgefinder.page import desk as desk_module
from edgefinder.page.desk import Desk
from edgefinder.schedule.draft import work_out
from edgefinder.schedule.reading import PatternRead
from edgefinder.schedule.tag_edits import Edited, write_edited


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
    assert "p.svg" in " ".join(gone.draft.mistakes)


MOST_TRIES: Final = 50
"""Of one change while another program makes four."""


@contextmanager
def full_disk() -> Iterator[None]:
    """Let nothing be written until the end of the block."""

    def full(_: Edited) -> None:
        raise OutputError("p.toml: cannot be written: No space left on device")

    with pytest.MonkeyPatch.context() as held:
        held.setattr(desk_module, "write_edited", full)
        yield


def test_what_cannot_be_saved_is_kept_and_saved_later(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_bytes()
    with full_disk():
        seen = finish(desk, "back 1", "hem")
        assert "No space" in (seen.problem or "")
        assert desk.path.read_bytes() == before
        assert "hem = [1]" in desk.look().text
    assert desk.save().problem is None
    assert "hem = [1]" in desk.path.read_text("utf-8")


def test_two_programs_on_one_file_lose_nothing_of_each_other(tmp_path: Path) -> None:
    """Each change is in the file or was refused: what was refused is done again."""
    first = desk_of(tmp_path, RUN)
    second = Desk(first.path, lambda: NOTHING)
    done: dict[str, str] = {}

    def is_done(desk: Desk, edge: str, what: str) -> bool:
        try:
            seen = finish(desk, edge, what)
            if seen.problem is not None:
                desk.undo(seen.revision)
        except EdgefinderError:
            return False
        return seen.problem is None

    def click(desk: Desk, piece: str, what: str) -> None:
        for edge in (f"{piece} {number}" for number in (1, 2, 3, 4)):
            if any(is_done(desk, edge, what) for _ in range(MOST_TRIES)):
                done[f"1 {edge}"] = what

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
    assert {edge: found[edge] for edge in done} == done
    assert sorted(path.name for path in tmp_path.iterdir()) == ["p.svg", "p.toml"]


def test_a_drawing_saved_while_it_is_worked_out_is_read_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = desk_of(tmp_path, RUN)
    drawing = tmp_path / "p.svg"
    larger = SQUARES.replace("h200 v200 h-200", "h202 v200 h-202")

    def saved_meanwhile(*args: Any) -> Any:
        draft = work_out(*args)
        drawing.write_text(larger, "utf-8")
        return draft

    with monkeypatch.context() as held:
        held.setattr(desk_module, "work_out", saved_meanwhile)
        finish(desk, "back 1", "hem")
    seen = desk.look()
    assert "drawing" in (seen.notice or "")
    assert seen.draft.release is not None
    run = seen.draft.release.sizes[0].runs[0].run
    assert run.length == pytest.approx(200 + 202, abs=1e-6)


def test_what_is_written_right_after_a_change_is_not_taken_for_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = desk_of(tmp_path, RUN)

    def and_another(edited: Any) -> bytes:
        data = write_edited(edited)
        with desk.path.open("a", encoding="utf-8") as file:
            file.write("# by hand\n")
        return data

    with monkeypatch.context() as held:
        held.setattr(desk_module, "write_edited", and_another)
        finish(desk, "back 1", "hem")
    assert "another program" in (desk.look().notice or "")
    finish(desk, "back 2", "raw")
    assert "# by hand" in desk.path.read_text("utf-8")


def test_a_file_that_is_mended_to_what_it_was_is_no_longer_complained_of(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path, RUN)
    before = desk.path.read_bytes()
    desk.path.write_text("broken = [", "utf-8")
    assert "cannot be read" in (desk.look().notice or "")
    desk.path.write_bytes(before)
    assert desk.look().notice is None


def test_grade_rules_beside_a_drawing_belong_to_it(tmp_path: Path) -> None:
    """Two corners at the right, moved outwards by 20 mm and by 70 mm in size L."""
    (tmp_path / "p.dxf").write_bytes(file_of([square()]))
    rules = tmp_path / "p.rul"
    rules.write_bytes(rule_file("S M L", "M", RULES))
    job = tmp_path / "p.toml"
    run = '[[runs]]\nname = "r"\ntape = "t"\nedges = ["Panel 2"]\n'
    tape = '[[tapes]]\nname = "t"\nfinished_width = "9 mm"\n'
    job.write_text(f'drawings = ["p.dxf"]\n{tape}{run}', "utf-8")
    desk = Desk(job, lambda: NOTHING)
    before = desk.look()
    changed = RULES | {"3": "-10,-5 0,0 20,60", "4": "0,-5 0,0 0,60"}
    rules.write_bytes(rule_file("S M L", "M", changed))
    seen = desk.look()
    assert seen.revision != before.revision
    assert "drawing" in (seen.notice or "")
    assert seen.draft.release is not None
    fresh = Desk(job, lambda: NOTHING).look().draft.release
    assert fresh is not None
    lengths = [
        [size.runs[0].run.length for size in release.sizes]
        for release in (seen.draft.release, fresh)
    ]
    assert lengths[0] == lengths[1]


def test_a_drawing_of_scraps_belongs_to_the_job(tmp_path: Path) -> None:
    scraps = tmp_path / "scraps.svg"
    scraps.write_text(SQUARES, "utf-8")
    desk = desk_of(tmp_path, f'{RUN}\n[fabric]\nscraps = "scraps.svg"\n')
    before = desk.look()
    assert before.draft.mistakes == ()
    scraps.write_text(SQUARES.replace("h200", "h210"), "utf-8")
    assert desk.look().revision != before.revision


def patterns_kept() -> int:
    gc.collect()
    return sum(isinstance(one, PatternRead) for one in gc.get_objects())


def test_drawings_saved_again_and_again_are_not_all_kept(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    before = patterns_kept()
    for wide in range(201, 209):
        text = SQUARES.replace("h200 v200 h-200", f"h{wide} v200 h-{wide}")
        (tmp_path / "p.svg").write_text(text, "utf-8")
        assert "drawing" in (desk.look().notice or "")
    assert patterns_kept() <= before + 2  # the one before the last one


def test_a_sign_left_by_a_crash_does_not_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "WRITING_S", 0.05)
    path = tmp_path / "p.toml"
    sign = tmp_path / ".p.toml.writing"
    sign.touch()
    with files.alone_with(path):
        assert sign.exists()
    assert not sign.exists()


def test_who_writes_slowly_does_not_take_down_the_sign_of_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "WRITING_S", 0.05)
    path = tmp_path / "p.toml"
    sign = tmp_path / ".p.toml.writing"
    slow, second = files.alone_with(path), files.alone_with(path)
    slow.__enter__()
    with second:  # it gets in when the time of the slow one is over
        text = sign.read_text("ascii")
        slow.__exit__(None, None, None)
        assert sign.read_text("ascii") == text
    assert not sign.exists()


def test_a_link_and_the_file_that_it_leads_to_have_one_sign(tmp_path: Path) -> None:
    path = tmp_path / "p.toml"
    path.touch()
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    with files.alone_with(link):
        assert (tmp_path / ".p.toml.writing").exists()


CLICKER = """
import sys
from pathlib import Path
from edgefinder.classifier.own_list import NOTHING
from edgefinder.page.changes import read_change
from edgefinder.page.desk import Desk
desk = Desk(Path(sys.argv[1]), lambda: NOTHING)
print("begun", flush=True)
while True:
    for edge in (1, 2, 3, 4):
        for what in ("hem", "raw", "facing"):
            asked = {"do": "finish", "size": "1", "finish": what}
            asked["edges"] = [{"piece": "back", "edge": edge}]
            wanted = read_change(asked, desk.memory)
            desk.change(desk.look().revision, wanted.label, wanted.make)
"""


def test_a_program_killed_in_the_middle_leaves_a_whole_file(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, RUN)
    for wait in (0.05, 0.11, 0.17):
        with subprocess.Popen(  # noqa: S603 - this very program
            [sys.executable, "-c", CLICKER, str(desk.path)], stdout=subprocess.PIPE
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
    with full_disk():
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
        assert seen.draft.mistakes == ()
        assert seen.draft.release is None
        seen = change(
            desk,
            do="decide",
            piece=doubt.piece,
            size=doubt.size,
            edge=edge,
            numbers=[edge],
        )
    assert seen.draft.mistakes == ()
    assert seen.draft.release is not None
    assert '"2 in 2" = 2' in desk.path.read_text("utf-8")
    for size, wide, high in (("1", 220, 200), ("2", 210, 210)):
        run = next(s for s in seen.draft.release.sizes if s.size == size).runs[0].run
        assert run.length == pytest.approx(wide + high)


def test_an_edge_in_doubt_can_be_tagged_and_is_asked_about_then(tmp_path: Path) -> None:
    """A square in size 1 that is an oblong in size 2; nothing was said of it before."""
    desk = desk_of(tmp_path, RUN.replace("front", "back"))
    drawing = SQUARES.replace("h200 v200 h-200", "h220 v200 h-220")
    (tmp_path / "p.svg").write_text(drawing, "utf-8")
    assert desk.look().draft.doubts == ()
    seen = finish(desk, "front 1", "hem")
    (doubt,) = seen.draft.doubts
    assert (doubt.piece, doubt.edges) == ("front", frozenset({1}))
    assert seen.draft.mistakes == ()
    assert (1,) in doubt.choices
    seen = change(
        desk, do="decide", piece="front", size=doubt.size, edge=1, numbers=[1]
    )
    assert seen.draft.release is not None
    desk.undo(seen.revision)
    desk.undo(desk.look().revision)
    assert desk.look().draft.doubts == ()
