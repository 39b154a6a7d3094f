"""The examples of the documents, run again.

A document is a Markdown file whose fenced blocks are examples. What a block holds is
said by the comment in the line above it:

``<!-- output -->``
    Everything that the last commands print. ``<!-- output: "a" +2; "b" -->`` shows
    the line that holds ``a`` with the two after it, then the next one that holds
    ``b``; three dots stand for what is left out.
``<!-- file FILE: "a" +2 -->``
    Lines of a file, chosen in the same way.
``<!-- help: new -->``
    The help page of a command.
``<!-- write FILE -->``, ``<!-- append to FILE -->``
    The block is the text of a file, or is written at its end.
``<!-- find in FILE -->``, ``<!-- write instead -->``
    The first block stands in the file; the second takes its place.
``<!-- exit 2 -->``
    The commands end with this exit code, not with 0.
``<!-- not run -->``
    The commands last until somebody stops them; they are run by tests of their own.
``<!-- keep FILE as pictures/NAME.svg -->``
    In any line: a picture that the commands above it have written is kept with the
    documents, for the page to show.

Blocks of ``sh`` are commands, and those that begin with ``edgefinder`` are run; ``cd``
goes into a folder, and ``> FILE`` at the end of a line keeps what is printed. Run as a
script, this module writes everything that is made into the documents anew: outputs,
pictures, the drawings of the page on curves and the tables of the job file.
"""

import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from click.testing import CliRunner
from job_reference import with_tables

from edgefinder.cli.main import main

ROOT: Final = Path(__file__).parents[1]
DOCS: Final = ROOT / "docs"
PICTURES: Final = DOCS / "pictures"
DRAWN_BY: Final = ROOT / "fixtures" / "drafting" / "draw_curves.py"
COLUMNS: Final = 80
"""Of the terminal that the help pages are printed for."""
LEFT_OUT: Final = "..."

NOT_RUN: Final = "not run"

_COMMENT: Final = re.compile(r"<!-- (?P<what>[^:>]+?)(?:: (?P<how>.+))? -->")
_KEPT: Final = re.compile(r"<!-- keep (\S+) as (pictures/[a-z-]+\.svg) -->")
_PART: Final = re.compile(r'"(?P<text>[^"]+)"(?: \+(?P<more>\d+))?')


@dataclass(frozen=True, slots=True)
class Block:
    """A fenced block.

    Parameters
    ----------
    first : int
        Index of the line of its opening fence in the document.
    kind : str
        The word after the fence.
    comment : str
        The line above the fence, if it is a comment; empty otherwise.
    lines : tuple of str
    """

    first: int
    kind: str
    comment: str
    lines: tuple[str, ...]


@dataclass(slots=True)
class Ran:
    """A command that was run."""

    line: str
    code: int
    wanted: int
    output: str


@dataclass(slots=True)
class Session:
    """What the examples of one document have done so far."""

    ran: list[Ran] = field(default_factory=list)
    output: str = ""
    found: tuple[Path, str] | None = None
    kept: dict[str, bytes] = field(default_factory=dict)


def blocks(text: str) -> Iterator[Block]:
    """Find the fenced blocks of a document."""
    lines = text.splitlines()
    opened: int | None = None
    for i, line in enumerate(lines):
        if not line.startswith("```"):
            continue
        if opened is None:
            opened = i
            continue
        above = lines[opened - 1] if opened else ""
        comment = above if above.startswith("<!--") else ""
        kind = lines[opened][3:].strip()
        yield Block(opened, kind, comment, tuple(lines[opened + 1 : i]))
        opened = None


def prose(text: str) -> list[str]:
    """Return the lines of a document outside of its fenced blocks."""
    lines: list[str] = []
    inside = False
    for line in text.splitlines():
        if line.startswith("```"):
            inside = not inside
        elif not inside:
            lines.append(line)
    return lines


def call(arguments: list[str]) -> tuple[int, str]:
    """Run the program in this process; return its exit code and all it prints."""
    result = CliRunner().invoke(
        main, arguments, prog_name="edgefinder", terminal_width=COLUMNS
    )
    return result.exit_code, result.output


def render(text: str, session: Session) -> str:
    """Run the examples of a document in the current folder.

    Returns
    -------
    str
        The document with what the examples print now.
    """
    lines = text.splitlines()
    replaced: list[tuple[Block, list[str]]] = []
    kept = 0
    for block in blocks(text):
        _keep(lines[kept : block.first], session)
        kept = block.first
        now = _play(block, session)
        if now is not None:
            replaced.append((block, now))
    _keep(lines[kept:], session)
    for block, now in reversed(replaced):
        start = block.first + 1
        lines[start : start + len(block.lines)] = now
    return "\n".join([*lines, ""])


def _keep(lines: list[str], session: Session) -> None:
    """Keep the pictures that some lines of a page show."""
    for line in lines:
        said = _KEPT.fullmatch(line)
        if said:
            session.kept[said[2]] = Path(said[1]).read_bytes()


def _play(block: Block, session: Session) -> list[str] | None:
    """Do what a block says; return its new lines if it is an output."""
    said = _COMMENT.fullmatch(block.comment)
    what, how = (said["what"], said["how"] or "") if said else ("", "")
    if what == NOT_RUN:
        return None
    if block.kind == "sh":
        wanted = int(what.removeprefix("exit ")) if what.startswith("exit") else 0
        _run(block.lines, wanted, session)
    elif what == "help":
        return call([*how.split(), "--help"])[1].splitlines()
    elif what == "output":
        return _chosen(session.output.splitlines(), how)
    elif what.startswith("file "):
        path = Path(what.removeprefix("file "))
        return _chosen(path.read_text("utf-8").splitlines(), how)
    elif what:
        _edit(what, "\n".join([*block.lines, ""]), session)
    return None


def _run(lines: tuple[str, ...], wanted: int, session: Session) -> None:
    printed = []
    for line in lines:
        words = shlex.split(line, comments=True)
        if words[:1] == ["cd"]:
            os.chdir(words[1])
        elif words[:1] == ["edgefinder"]:
            target = words[-1] if words[-2:-1] == [">"] else None
            code, output = call(words[1:-2] if target else words[1:])
            if target:
                Path(target).write_text(output, "utf-8")
                output = ""
            session.ran.append(Ran(line, code, wanted, output))
            printed.append(output)
    session.output = "".join(printed)


def _chosen(lines: list[str], parts: str) -> list[str]:
    if not parts:
        return lines
    shown: list[str] = []
    at = 0
    for part in _PART.finditer(parts):
        text = part["text"]
        start = next((i for i in range(at, len(lines)) if text in lines[i]), None)
        if start is None:
            return [*shown, f"(no line holds {text!r} now)"]
        if start > at:
            shown.append(LEFT_OUT)
        at = start + int(part["more"] or 0) + 1
        shown += lines[start:at]
    return [*shown, LEFT_OUT] if at < len(lines) else shown


def _edit(what: str, text: str, session: Session) -> None:
    if what.startswith("write instead") and session.found is not None:
        path, old = session.found
        path.write_text(path.read_text("utf-8").replace(old, text), "utf-8")
        session.found = None
    elif what.startswith("append to "):
        path = Path(what.removeprefix("append to "))
        path.write_text(path.read_text("utf-8") + "\n" + text, "utf-8")
    elif what.startswith("find in "):
        path = Path(what.removeprefix("find in "))
        if path.read_text("utf-8").count(text) != 1:
            raise ValueError(f"{path} does not hold this text once:\n{text}")
        session.found = path, text
    elif what.startswith("write "):
        Path(what.removeprefix("write ")).write_text(text, "utf-8")
    else:
        raise ValueError(f"nothing is known of the comment <!-- {what} -->")


def _refresh() -> None:
    home = Path.cwd()
    for old in PICTURES.glob("*.svg"):
        old.unlink()
    subprocess.run(  # noqa: S603 - a script of our own
        [sys.executable, str(DRAWN_BY), str(PICTURES)],
        check=True,
        stdout=subprocess.DEVNULL,
    )
    for path in sorted(DOCS.glob("*.md")):
        with tempfile.TemporaryDirectory() as folder:
            os.chdir(folder)
            # The examples are those of somebody who has no list of their own yet.
            os.environ["XDG_CONFIG_HOME"] = folder
            session = Session()
            now = render(with_tables(path.read_text("utf-8")), session)
            os.chdir(home)
        for name, data in session.kept.items():
            (DOCS / name).write_bytes(data)
        path.write_text(now, "utf-8")


if __name__ == "__main__":
    _refresh()
