"""A file is named after what is in it."""

from pathlib import Path

import pytest
from command_line import APRON, refused, run


@pytest.mark.parametrize(
    ("words", "name", "what", "ending"),
    [
        (("picture", "-o"), "bild.png", "a picture", ".svg"),
        (("picture", "-o"), "bild", "a picture", ".svg"),
        (("schedule", "--pdf"), "x.docx", "a PDF", ".pdf"),
        (("schedule", "--html"), "x.pdf", "a page of HTML", ".html"),
        (("schedule", "--xlsx"), "x.xls", "a workbook", ".xlsx"),
        (("schedule", "--markdown"), "x.docx", "Markdown", ".md"),
    ],
)
def test_a_name_that_promises_another_kind_of_file_is_refused(
    tmp_path: Path, words: tuple[str, str], name: str, what: str, ending: str
) -> None:
    command, option = words
    out = tmp_path / name

    (said,) = refused(command, APRON, option, out)

    assert said == (
        f'{out}: {what} is not written as "{out.suffix}"; '
        f'name a file that ends in "{ending}"'
    )
    assert not out.exists()


def test_an_ending_may_be_in_capitals(tmp_path: Path) -> None:
    out = tmp_path / "APRON.SVG"

    assert run("picture", APRON, "--size", "S", "-o", out).exit_code == 0
    assert out.read_bytes().rstrip().endswith(b"</svg>")
