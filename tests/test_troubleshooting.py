"""The page that says what to do about every finding names every finding there is."""

import ast
import re
from pathlib import Path

from doc_examples import DOCS, ROOT

from edgefinder.importers.svg.findings import MESSAGES

PACKAGE = ROOT / "edgefinder"
MAKERS = {"warning", "note", "Finding"}
CODE = re.compile(r"[a-z]+(-[a-z]+)*")


def told_in(path: Path) -> set[str]:
    """The codes that a module writes out where it makes a finding."""
    tree = ast.parse(path.read_text("utf-8"))
    firsts = [
        node.args[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in MAKERS
        and node.args
    ]
    return {
        first.value
        for first in firsts
        if isinstance(first, ast.Constant) and isinstance(first.value, str)
    }


def written_in(path: Path, pattern: str) -> set[str]:
    """The codes that a module keeps elsewhere."""
    return set(re.findall(pattern, path.read_text("utf-8")))


def every_code() -> set[str]:
    codes = set(MESSAGES)
    for path in PACKAGE.rglob("*.py"):
        codes |= told_in(path)
    codes |= written_in(PACKAGE / "importers/dxf/tally.py", r'"([a-z-]+)": _Kind\(')
    codes |= written_in(PACKAGE / "importers/dxf/sniff.py", r'"(cut-short|truncated)"')
    codes |= written_in(PACKAGE / "binding/seam_check.py", r'yield "([a-z-]+)"')
    return codes


def first_cells(text: str) -> list[str]:
    return [line.split("|")[1] for line in text.splitlines() if line.startswith("| `")]


def test_every_code_of_a_finding_is_explained_once() -> None:
    cells = first_cells((DOCS / "troubleshooting.md").read_text("utf-8"))

    explained = [code for cell in cells for code in re.findall(r"`([^`]+)`", cell)]

    assert sorted(explained) == sorted(every_code())
    assert all(CODE.fullmatch(code) for code in explained)
