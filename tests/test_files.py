import errno
import os
import stat
import tempfile
from pathlib import Path

import pytest

from edgefinder.errors import DrawingError, OutputError
from edgefinder.files import (
    bytes_there,
    make_folder,
    read_bytes,
    write_all,
    write_bytes,
    write_new,
    write_text,
)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_file_is_read_whole(tmp_path: Path) -> None:
    (tmp_path / "a.svg").write_bytes(b"\0\xff\r\n")

    assert read_bytes(tmp_path / "a.svg") == b"\0\xff\r\n"


def test_a_file_as_large_as_the_limit_is_read(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(b"x" * 10)

    assert len(read_bytes(path, limit=10)) == 10
    with pytest.raises(DrawingError, match="has 10 bytes, more than the 9 that are"):
        read_bytes(path, limit=9)


def test_a_missing_file_suggests_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "apron.svg").write_bytes(b"x")

    with pytest.raises(DrawingError, match=r'no such file; did you mean "apron\.svg"'):
        read_bytes(tmp_path / "aprn.svg")


@pytest.mark.parametrize("name", ["nothing-like-it.xyz", "no/such/folder/a.svg"])
def test_a_missing_file_without_neighbours_is_one_line(
    tmp_path: Path, name: str
) -> None:
    with pytest.raises(DrawingError, match=r"there is no such file$"):
        read_bytes(tmp_path / name)


def test_a_folder_is_no_drawing(tmp_path: Path) -> None:
    with pytest.raises(DrawingError, match="is a folder; name a file in it"):
        read_bytes(tmp_path)


def test_an_empty_file_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "a.svg").touch()

    with pytest.raises(DrawingError, match="is empty"):
        read_bytes(tmp_path / "a.svg")


def test_a_pipe_does_not_hang_the_reader(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.svg")

    with pytest.raises(DrawingError, match="is not a regular file"):
        read_bytes(tmp_path / "a.svg")


def test_a_device_is_no_drawing() -> None:
    with pytest.raises(DrawingError, match="is not a regular file"):
        read_bytes(Path("/dev/zero"))


def test_a_link_that_leads_round_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")

    with pytest.raises(DrawingError, match="cannot be read"):
        read_bytes(tmp_path / "a")


@pytest.mark.parametrize("name", ["a\0b", "x" * 300])
def test_what_cannot_be_a_name_is_one_line(tmp_path: Path, name: str) -> None:
    with pytest.raises(DrawingError) as caught:
        read_bytes(tmp_path / name)

    assert len(caught.value.messages) == 1


def test_a_text_is_written_in_utf_8_with_its_own_line_ends(tmp_path: Path) -> None:
    assert write_text(tmp_path / "a.txt", "é\r\n½\n")

    assert (tmp_path / "a.txt").read_bytes() == "é\r\n½\n".encode()


def test_equal_bytes_are_not_written_again(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"same")
    os.utime(path, (1, 1))

    assert not write_bytes(path, b"same")
    assert path.stat().st_mtime == 1
    assert write_bytes(path, b"other")
    assert path.read_bytes() == b"other"


def test_nothing_is_left_beside_a_written_file(tmp_path: Path) -> None:
    write_bytes(tmp_path / "a.txt", b"x")

    assert names(tmp_path) == ["a.txt"]


def test_the_mode_of_a_file_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"x")
    path.chmod(0o640)

    write_bytes(path, b"y")

    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_has_the_mode_that_any_program_gives(tmp_path: Path) -> None:
    (tmp_path / "model").touch()

    write_bytes(tmp_path / "a.txt", b"x")

    modes = [stat.S_IMODE((tmp_path / n).stat().st_mode) for n in ("model", "a.txt")]
    assert modes[0] == modes[1]


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "target").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "target")

    write_bytes(tmp_path / "link", b"y")

    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "target").read_bytes() == b"y"


def test_a_missing_folder_is_an_error_of_one_line(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        write_text(tmp_path / "no" / "a.txt", "x")


def test_a_folder_in_the_way_is_an_error_and_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "a.txt").mkdir()

    with pytest.raises(OutputError, match="cannot be written"):
        write_text(tmp_path / "a.txt", "x")

    assert names(tmp_path) == ["a.txt"]


def test_a_write_that_is_broken_off_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")

    def no_room(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    with pytest.raises(OutputError, match="No space left on device"):
        write_bytes(path, b"new")

    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["a.txt"]


def test_several_files_are_written_and_those_that_changed_are_named(
    tmp_path: Path,
) -> None:
    one, two, three = (tmp_path / name for name in ("1", "2", "3"))
    two.write_bytes(b"two")

    changed = write_all({one: b"one", two: b"two", three: b"three"})

    assert changed == (one, three)
    assert [path.read_bytes() for path in (one, two, three)] == [
        b"one",
        b"two",
        b"three",
    ]


def test_of_several_files_none_is_written_if_one_cannot_be(tmp_path: Path) -> None:
    one, bad = tmp_path / "1", tmp_path / "no" / "2"
    one.write_bytes(b"old")

    with pytest.raises(OutputError, match="cannot be written"):
        write_all({one: b"new", bad: b"x"})

    assert one.read_bytes() == b"old"
    assert names(tmp_path) == ["1"]


def test_a_new_file_is_never_written_over_an_old_one(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    write_new(path, "first")

    with pytest.raises(OutputError, match="is there already and is not written over"):
        write_new(path, "second")

    assert path.read_text() == "first"


def test_a_new_file_is_not_written_through_a_dangling_link(tmp_path: Path) -> None:
    (tmp_path / "a.toml").symlink_to(tmp_path / "elsewhere")

    with pytest.raises(OutputError, match="is there already"):
        write_new(tmp_path / "a.toml", "x")

    assert names(tmp_path) == ["a.toml"]


def test_a_new_file_that_fails_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    with pytest.raises(OutputError):
        write_new(tmp_path / "a.toml", "x")

    assert names(tmp_path) == []


def test_what_stands_in_a_place_is_read_if_it_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x")

    assert bytes_there(tmp_path / "a") == b"x"
    assert bytes_there(tmp_path / "b") is None
    with pytest.raises(OutputError, match="is not a file; move it"):
        bytes_there(tmp_path)


def test_a_folder_is_made_with_those_around_it(tmp_path: Path) -> None:
    make_folder(tmp_path / "a" / "b")
    make_folder(tmp_path / "a" / "b")

    assert (tmp_path / "a" / "b").is_dir()


def test_a_file_in_the_way_of_a_folder_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "a").touch()

    with pytest.raises(OutputError, match="is a file; name a folder"):
        make_folder(tmp_path / "a")
    with pytest.raises(OutputError, match="cannot be made"):
        make_folder(tmp_path / "a" / "b")


def test_where_nobody_may_write_the_message_says_how_to_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forbidden(**_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(tempfile, "mkstemp", forbidden)
    with pytest.raises(OutputError, match="denied; name a place where you may write"):
        write_text(tmp_path / "a", "x")
