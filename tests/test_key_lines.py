"""Every key that tomllib reads has a line, and the key stands on it."""

import itertools
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st
from odd_jobs import loaded, odd_jobs

from edgefinder.classifier.key_lines import key_lines

DEMO = Path(__file__).parents[1] / "fixtures" / "demo"

ODD = """\
# a comment with [a] = "table"
title = "one"
'quoted key' = 'two # no comment'
"escaped \\u00e9\\"" = 1
a . "b" . c = 1979-05-27 07:32:00   # a date and a time
text = \"\"\"
[no]
table = "\\\"\"\"
\"\"\"\"\"
other = '''
'x' = 1 ''''
list = [ # first
    1, [2,
    3], # two

    { x = 1, y . z = [4] },
]
empty = []
none = {}

[d.e]
f = +inf
[[runs]]
name = "neck"
edges = ["front 1"]
  [[ runs ]]   # the second
edges = [
    "front 2",
    "back 3"]
[runs.deep]
x = 1
[[runs.more]]
y = 2
[[runs.more]]
y = 3
[[runs]]
[[runs.more]]
y = 4
[d]
g = 00:00:00.5
"""

ODD_LINES = {
    ("title",): 2,
    ("quoted key",): 3,
    ('escaped é"',): 4,
    ("a",): 5,
    ("a", "b"): 5,
    ("a", "b", "c"): 5,
    ("text",): 6,
    ("other",): 10,
    ("list",): 12,
    ("list", 0): 13,
    ("list", 1): 13,
    ("list", 1, 0): 13,
    ("list", 1, 1): 14,
    ("list", 2): 16,
    ("list", 2, "x"): 16,
    ("list", 2, "y"): 16,
    ("list", 2, "y", "z"): 16,
    ("list", 2, "y", "z", 0): 16,
    ("empty",): 18,
    ("none",): 19,
    ("d",): 39,
    ("d", "e"): 21,
    ("d", "e", "f"): 22,
    ("runs",): 23,
    ("runs", 0): 23,
    ("runs", 0, "name"): 24,
    ("runs", 0, "edges"): 25,
    ("runs", 0, "edges", 0): 25,
    ("runs", 1): 26,
    ("runs", 1, "edges"): 27,
    ("runs", 1, "edges", 0): 28,
    ("runs", 1, "edges", 1): 29,
    ("runs", 1, "deep"): 30,
    ("runs", 1, "deep", "x"): 31,
    ("runs", 1, "more"): 32,
    ("runs", 1, "more", 0): 32,
    ("runs", 1, "more", 0, "y"): 33,
    ("runs", 1, "more", 1): 34,
    ("runs", 1, "more", 1, "y"): 35,
    ("runs", 2): 36,
    ("runs", 2, "more"): 37,
    ("runs", 2, "more", 0): 37,
    ("runs", 2, "more", 0, "y"): 38,
    ("d", "g"): 40,
}


def paths_of(data: object, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every path that a reader of the data can ask for."""
    inside: Any = ()
    if isinstance(data, dict):
        inside = data.items()
    elif isinstance(data, list):
        inside = enumerate(data)
    for part, one in inside:
        yield (*path, part)
        yield from paths_of(one, (*path, part))


def test_an_odd_text_has_the_lines_that_were_counted_by_hand() -> None:
    assert dict(key_lines(ODD)) == ODD_LINES


@pytest.mark.parametrize("begins", ["", "\ufeff"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_line_ends_and_a_byte_order_mark_change_no_line(
    begins: str, line_end: str
) -> None:
    assert dict(key_lines(begins + ODD.replace("\n", line_end))) == ODD_LINES


def test_the_paths_of_an_odd_text_are_those_of_tomllib() -> None:
    assert set(key_lines(ODD)) == set(paths_of(tomllib.loads(ODD)))


@pytest.mark.parametrize("name", ["orchard-apron.toml", "puddle-smock.toml"])
def test_each_key_of_the_demo_stands_on_its_line(name: str) -> None:
    text = (DEMO / name).read_text(encoding="utf-8")
    lines = key_lines(text)

    assert set(lines) == set(paths_of(tomllib.loads(text)))
    for path, line in lines.items():
        written = text.split("\n")[line - 1]
        assert [part for part in path if isinstance(part, str)][-1] in written


def test_a_path_that_is_not_written_has_no_line_but_what_is_around_it_has() -> None:
    lines = key_lines(ODD)

    assert ("runs", 3) not in lines
    assert ("runs", 1, "tape") not in lines
    assert () not in lines
    assert lines.nearest(("runs", 1, "tape")) == 26
    assert lines.nearest(("runs", 1, "edges", 1)) == 29
    assert lines.nearest(("runs", 7, "tape")) == 23
    assert lines.nearest(("fabric",)) is None


def test_a_text_without_keys_has_no_lines() -> None:
    assert dict(key_lines("")) == {}
    assert dict(key_lines("\ufeff# nothing\n")) == {}
    assert len(key_lines("\n\n")) == 0


@given(odd_jobs())
def test_each_path_of_an_odd_job_has_a_line(text: str) -> None:
    assert set(key_lines(text)) == set(paths_of(loaded(text)))


keys = st.text(
    st.characters(exclude_categories=["Cs"]), min_size=0, max_size=6
) | st.sampled_from(["a", "b-1", "3", "a.b", "# x", "[y]", '"', "'", "=", "é", "\\u"])
plain_values = (
    st.integers(-(2**63), 2**63 - 1)
    | st.booleans()
    | st.floats(allow_nan=False)
    | keys
    | st.datetimes()
    | st.dates()
    | st.times()
)
values = st.recursive(
    plain_values,
    lambda inside: (
        st.lists(inside, max_size=4) | st.dictionaries(keys, inside, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(keys, values, max_size=5))
def test_each_path_of_a_text_that_tomlkit_writes_has_a_line(
    data: dict[str, Any],
) -> None:
    text = tomlkit.dumps(data)
    try:
        read = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return  # tomlkit does not always write what can be read
    lines = key_lines(text)

    assert set(lines) == set(paths_of(read))
    for path, line in lines.items():
        last = [part for part in path if isinstance(part, str)][-1]
        written = text.split("\n")[line - 1]
        if not isinstance(path[-1], int):
            assert tomlkit.key(last).as_string() in written


class Writer:
    """Writes nested data in layouts that hypothesis chooses; no key comes twice.

    Each plain value is a number that is nowhere else in the text, so that the true
    line of everything can be found by looking for it.
    """

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.numbers = itertools.count(1000)

    def one_of(self, *choices: str) -> str:
        return self.draw(st.sampled_from(choices))

    def count(self, most: int, least: int = 0) -> int:
        return self.draw(st.integers(least, most))

    def key(self) -> str:
        n = next(self.numbers)
        return self.one_of(f"k{n}", f'"k {n} # ="', f"'k.{n}['", f'"\\u00e9{n}"')

    def dotted(self) -> str:
        return self.one_of(".", " . ", "\t.").join(
            self.key() for _ in range(self.count(3, least=1))
        )

    def gap(self) -> str:
        return self.one_of("", " ", "\n", "  # [x] = {\n", "\n\n\t", " # ''' ,\n #]\n")

    def value(self, depth: int) -> str:
        kind = self.one_of("plain", "plain", "text", "list", "table") if depth else "x"
        if kind == "list":
            items = [
                f"{self.gap()}{self.value(depth - 1)}{self.gap()}"
                for _ in range(self.count(3))
            ]
            return f"[{','.join(items)}{self.one_of('', ',') if items else ''}]"
        if kind == "table":
            rows = [
                f" {self.dotted()} = {self.value(depth - 1)}"
                for _ in range(self.count(2))
            ]
            return f"{{{','.join(rows)} }}"
        n = next(self.numbers)
        if kind == "text":
            return self.one_of(
                f'"{n} \\" # ]"',
                f"'{n} \\'",
                f'"""{n} ""\n[t]\\""" = 1"""""',
                f"'''{n}\n# '' no'''",
                '""',
            )
        return self.one_of(f"{n}", f"{n}-01-02 03:04:05Z", f"{n}.5e-3", f"0x{n}")

    def entries(self) -> str:
        return "".join(
            f"{self.one_of('', '  ')}{self.dotted()} = {self.value(3)}"
            f"{self.one_of('', ' # = 1')}\n{self.one_of('', '# [c]', '')}\n"
            for _ in range(self.count(3))
        )

    def text(self) -> str:
        parts = [self.entries()]
        lists: list[str] = []
        for _ in range(self.count(4)):
            header = self.dotted()
            if lists and self.count(1):
                header = self.one_of(*lists)  # one more of the same, or one inside it
                if self.count(1):
                    header += f".{self.key()}"
            is_list = header in lists or self.count(1) == 1
            lists += [header] * is_list
            written = f"[[ {header} ]]" if is_list else f"[{header}]"
            parts.append(f"{written}{self.one_of('', ' # ]')}\n{self.entries()}")
        return "".join(parts)


@st.composite
def texts(draw: st.DrawFn) -> str:
    text = Writer(draw).text()
    return text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))


@given(texts())
def test_in_any_layout_each_key_and_number_stands_on_its_line(text: str) -> None:
    read = tomllib.loads(text)
    lines = key_lines(text)
    written = text.split("\n")

    assert set(lines) == set(paths_of(read))
    for path, line in lines.items():
        last = path[-1]
        if isinstance(last, str):
            assert last.replace("é", "\\u00e9") in written[line - 1]
        value: Any = read
        for part in path:
            value = value[part]
        if isinstance(value, float):
            assert str(round(value * 1000 - 0.5)) in written[line - 1].replace(".", "")
        elif type(value) is int:
            number = str(value) if str(value) in text else hex(value)
            assert number in written[line - 1]


def test_nesting_as_deep_as_tomllib_reads_it_is_no_trouble() -> None:
    depth = 200
    text = f"a = {'[' * depth}\n1{']' * depth}\nb = {'{x=' * 90}1{'}' * 90}\n"
    tomllib.loads(text)

    lines = key_lines(text)

    assert lines[("a", *[0] * depth)] == 2
    assert lines[("b", *["x"] * 90)] == 3


def test_the_last_text_is_looked_through_once() -> None:
    assert key_lines(ODD) is key_lines(ODD)
