"""Job files that are written oddly and mean something all the same."""

import tomllib
from typing import Any

from hypothesis import strategies as st

PIECES = ("front", "front lining", "Back  Yoke")
RUNS = ("neck", "arm holes", "hem")


def loaded(text: str) -> dict[str, Any]:
    """Read a job file's text as `draft_job` does."""
    return tomllib.loads(text.removeprefix("\ufeff"))


def comments_of(text: str) -> list[str]:
    """The comments, in order; no text of these jobs holds a number sign."""
    return [line.partition("#")[2].strip() for line in text.splitlines() if "#" in line]


@st.composite
def comments(draw: st.DrawFn) -> str:
    return draw(st.sampled_from(["", "", "  # a, [b] = 'c", '\t# "x", ] }']))


@st.composite
def arrays(draw: st.DrawFn, items: list[str]) -> str:
    """One list, on one line or several, with commas and comments here and there."""
    style = draw(st.sampled_from(["line", "loose", "block", "pairs", "leading"]))
    last = draw(st.sampled_from(["", ","]))
    if style == "line":
        return f"[{', '.join(items)}]"
    if style == "loose":
        return f"[ {' ,'.join(items)} {last} ]" if items else "[ ]"
    if style == "pairs":
        rows = [", ".join(items[n : n + 2]) for n in range(0, len(items), 2)]
        return "[" + ",\n\t".join(rows) + (last if items else "") + "]"
    notes = [draw(comments()) for _ in items]
    if style == "leading":
        rows = [
            f"{', ' if n else '  '}{item}{note}\n"
            for n, (item, note) in enumerate(zip(items, notes, strict=True))
        ]
        return f"[\n{''.join(rows)}]"
    indent = draw(st.sampled_from(["", "  ", "\t", "      "]))
    rows = [
        f"{indent}{item}{last if n == len(items) else ','}{note}\n"
        for n, (item, note) in enumerate(zip(items, notes, strict=True), start=1)
    ]
    above = draw(st.sampled_from(["", f"{indent}# above\n"]))
    below = draw(st.sampled_from(["", f"{indent}# below\n"]))
    return f"[\n{above}{''.join(rows)}{below}{draw(st.sampled_from(['', indent]))}]"


@st.composite
def lists_of_edges(draw: st.DrawFn) -> str:
    """The value of ``hem`` and the like."""
    words = ["3", "4", "'3a'", '"side seam"', '"all except 3, 5"', '"12"']
    some = draw(st.lists(st.sampled_from(words), unique=True, max_size=4))
    if len(some) == 1 and draw(st.booleans()):
        return some[0]
    return draw(arrays(some))


@st.composite
def pairs(draw: st.DrawFn, key: str, some: list[tuple[str, str]]) -> tuple[str, str]:
    """A table inside a piece: what stands in the piece, and what stands below it."""
    style = draw(st.sampled_from(["inline", "tight", "dotted", "header"]))
    if style == "header":
        rows = "".join(f"  {k}= {v}{draw(comments())}\n" for k, v in some)
        return "", f"  [pieces . '{key}']{draw(comments())}\n{rows}"
    if style == "dotted" and some:
        return "".join(f"{key} . {k} = {v}{draw(comments())}\n" for k, v in some), ""
    inside = ",".join(f"{k}={v}" for k, v in some)
    if style == "inline" and some:
        inside = f" {', '.join(f'{k} = {v}' for k, v in some)} "
    return f"{key}= {{{inside}}}{draw(comments())}\n", ""


@st.composite
def piece_tables(draw: st.DrawFn, name: str) -> str:
    above, below = [f'name = "{name}"{draw(comments())}\n'], []
    finishes = st.sampled_from(["bound", "seam", "hem", "facing", "raw"])
    above += [
        f"{key} = {draw(lists_of_edges())}{draw(comments())}\n"
        for key in draw(st.lists(finishes, unique=True, max_size=2))
    ]
    if draw(st.booleans()):
        above.append(draw(st.sampled_from(["fold_edge = 3\n", "fold_edge='centre'\n"])))
    amounts = [("3", '"6 mm"'), ('"Side  Seam"', "'5 mm'"), ("5", '"7 mm" ')]
    names = [("neck", "3"), ('"side seam"', "'5'"), ("centre", '"4a"')]
    for key, known in (("allowances", amounts), ("edge_names", names)):
        if draw(st.booleans()):
            some = draw(st.lists(st.sampled_from(known), unique=True))
            own, inside = draw(pairs(key, some))
            above.append(own)
            below.append(inside)
    gap = draw(st.sampled_from(["", "\n", "# edges:\n#  1: 5 in\n", "\n# new\n"]))
    header = draw(st.sampled_from(["[[pieces]]", "  [[ pieces ]]", '[["pieces"]] # p']))
    order = draw(st.permutations(above))
    return f"{header}\n{''.join(order)}{gap}{gap.join(below)}"


@st.composite
def run_tables(draw: st.DrawFn, name: str) -> str:
    ends = [
        "3",
        "3 mirrored",
        "4",
        "5",
        "all except 3, 5",
        "from corner 3 to 5 at 2 mm",
    ]
    every = [f"{piece} {end}" for piece in PIECES for end in ends]
    words = draw(st.lists(st.sampled_from(every), min_size=1, max_size=6))
    if len(words) == 1 and draw(st.booleans()):
        edges = f'"{words[0]}"'
    else:
        edges = draw(arrays([f'"{word}"' for word in words]))
    rows = [f"edges = {edges}{draw(comments())}\n", f"name='{name}'\n", 'tape="main"\n']
    gap = draw(st.sampled_from(["", "\n", "# closed = false\n", "\n\n# next\n\n"]))
    return f"[[runs]]\n{''.join(draw(st.permutations(rows)))}{gap}"


@st.composite
def odd_jobs(draw: st.DrawFn) -> str:
    """A job file with a tape, with some of `PIECES` and `RUNS`, in any order."""
    tables = ['[[tapes]]\nname = "main"\nfinished_width = "9 mm"\n']
    tables += [draw(piece_tables(name)) for name in draw(_some(PIECES))]
    tables += [draw(run_tables(name)) for name in draw(_some(RUNS))]
    tables += ['[fabric]\ncloth = """\nlawn\n[[runs]] # no"""\n\n']
    tables = draw(st.permutations(tables))
    text = "# An apron\n\ndrawings = ['apron.svg']\n\n" + "".join(tables)
    if draw(st.booleans()):
        text = text.removesuffix("\n")
    text = text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))
    return draw(st.sampled_from(["", "\ufeff"])) + text


def _some(names: tuple[str, ...]) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(names), unique=True)
