"""Job files: what is read, and one line for every kind of mistake."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from drawn import HEAD, job_of, mistakes_of

from edgefinder.classifier.fields import Word
from edgefinder.classifier.job import (
    AsDrawn,
    End,
    Finish,
    Grain,
    InsideCorner,
    Join,
    PieceSettings,
    TapeFold,
    Wearer,
)
from edgefinder.classifier.job_file import (
    MAX_JOB_BYTES,
    drawing_job,
    is_job_file,
    read_job,
)
from edgefinder.errors import DrawingError, EdgefinderError, SettingsError
from edgefinder.pattern.selectors import Mark
from edgefinder.pattern.settings import SizeSource
from edgefinder.units import Unit

FULL = """
name = "Garden smock"
unit = "in"
drawings = ["smock.svg", "cut/smock.dxf"]
drawing_unit = "1 in"
cut_lines = ["class:cut", "layer:Cut *"]
ignore = "layer:Frame"
cutouts = ["id:window", "layer:Holes"]
sizes = "layer"
size_names = { "Layer 1" = "S", "#d55e00" = " M " }
names_like = '(?P<piece>.+)-(?P<size>[0-9]+)'
test_square = "2 in"
corner_angle_deg = 25
join_tolerance = "0.2 mm"
seam_allowance = "5/8 in"
wearer = "child"
allowances = { hem = "1 in", seam = "1/2 in" }
marker_lines = "layer:Bind"
notches = ["layer:Notches"]
sewing_lines = ["layer:Sew"]

[fabric]
cloth = "lawn"
usable_width = "56 in"
strip_seam = "3/8 in"
buy_step = "1/4 yd"
shortest_strip = "8 in"

[[cloths]]
name = "my lawn"
stretch_ok_percent = 9.5
stretch_limit_percent = 18
ease_ok_percent = 3
ease_limit_percent = 6

[[tapes]]
name = "narrow"
finished_width = "1/4 in"
fold = "single fold"
grain = "crosswise"
cloth = "my lawn"
turn_of_cloth = "2 mm"
cut_width = "1 1/4 in"
packet_length = "3 yd"

[[pieces]]
name = "Front"
cut = 2
tape = "narrow"
fold_edge = 7
match = ["id:front*", "label:vorn"]
hem = [1]
facing = "side"
raw = [3, "4a"]
seam = "all except 1, side, 3, 4a"
bound = ["from notch 1 to middle"]
edge_names = { side = 2, nape = "from middle to corner 3" }
marks = { middle = "6 at 50 %" }
allowances = { 5 = "3/8 in", nape = "0 mm" }
seam_allowance = "3/8 in"

[pieces.as_drawn]
size = "M"
edges = [
  [0, 412.0, 12.0, 90.0, 0.0, 0.0],
]

[[runs]]
name = "neck"
tape = "narrow"
edges = ["Front 6", "Back 2"]
start = "ties"
end = "caught in a seam"
turned_under = "1/2 in"
tie_length = "12 in"
handling_tail = "4 in"
join = "ends on the grain"
inside_corners = "clip and pull straight"
times = 2
"""


def test_everything_that_can_be_said_is_read(tmp_path: Path) -> None:
    job = job_of(tmp_path, FULL)

    assert job.path == tmp_path / "job.toml"
    assert (job.name, job.unit, job.wearer) == ("Garden smock", Unit.INCH, Wearer.CHILD)
    assert job.drawings == (tmp_path / "smock.svg", tmp_path / "cut" / "smock.dxf")
    assert job.unit_mm == 25.4
    assert job.seam_allowance == pytest.approx(15.875)
    finding = job.finding
    assert [s.text for s in finding.cut_lines] == ["class:cut", "layer:Cut *"]
    assert [(s.mark, s.pattern) for s in finding.ignore] == [(Mark.LAYER, "Frame")]
    assert [s.text for s in finding.cutouts] == ["id:window", "layer:Holes"]
    assert finding.sizes is SizeSource.LAYER
    assert finding.size_names == (("Layer 1", "S"), ("#d55e00", "M"))
    assert finding.names_like is not None
    assert finding.names_like.read("front-10") == ("front", "10")
    assert finding.test_square == pytest.approx(50.8)
    assert finding.corner_angle == pytest.approx(math.radians(25))
    assert finding.join_tolerance == pytest.approx(0.2)
    assert [(name, s.text) for name, s in finding.names] == [
        ("Front", "id:front*"),
        ("Front", "label:vorn"),
    ]
    fabric = job.fabric
    assert fabric.cloth == "lawn"
    assert fabric.usable_width == pytest.approx(56 * 25.4)
    assert fabric.strip_seam == pytest.approx(9.525)
    assert fabric.buy_step == pytest.approx(228.6)
    assert fabric.shortest_strip == pytest.approx(203.2)
    (cloth,) = job.cloths
    assert cloth.name == "my lawn"
    assert (cloth.stretch_ok, cloth.stretch_limit) == pytest.approx((0.095, 0.18))
    assert (cloth.ease_ok, cloth.ease_limit) == pytest.approx((0.03, 0.06))
    (tape,) = job.tapes
    assert (tape.name, tape.cloth) == ("narrow", "my lawn")
    assert (tape.fold, tape.grain) == (TapeFold.SINGLE, Grain.CROSSWISE)
    assert tape.finished_width == pytest.approx(6.35)
    assert tape.turn_of_cloth == 2.0
    assert tape.cut_width == pytest.approx(31.75)
    assert tape.packet_length == pytest.approx(2743.2)
    (run,) = job.runs
    assert (run.name, run.tape, run.times) == ("neck", "narrow", 2)
    assert run.edges == (
        Word("Front 6", ("runs", 0, "edges", 0)),
        Word("Back 2", ("runs", 0, "edges", 1)),
    )
    assert not run.is_closed
    assert (run.start, run.end) == (End.TIES, End.IN_SEAM)
    assert run.turned_under == pytest.approx(12.7)
    assert run.tie_length == pytest.approx(304.8)
    assert run.handling_tail == pytest.approx(101.6)
    assert run.join is Join.ON_GRAIN
    assert run.inside_corners is InsideCorner.CLIP


def test_everything_that_can_be_said_of_edges_is_read(tmp_path: Path) -> None:
    job = job_of(tmp_path, FULL)

    (piece,) = job.pieces
    assert (piece.name, piece.cut, piece.tape) == ("Front", 2, "narrow")
    assert piece.fold_edge == Word("7", ("pieces", 0, "fold_edge"))
    assert {(rule.word.text, rule.finish) for rule in piece.rules} == {
        ("1", Finish.HEM),
        ("side", Finish.FACING),
        ("3", Finish.RAW),
        ("4a", Finish.RAW),
        ("all except 1, side, 3, 4a", Finish.SEAM),
        ("from notch 1 to middle", Finish.BOUND),
    }
    assert [word.text for word, _ in piece.allowances] == ["5", "nape"]
    assert [a for _, a in piece.allowances] == pytest.approx([9.525, 0.0])
    assert piece.seam_allowance == pytest.approx(9.525)
    assert piece.edge_names == (("side", "2"), ("nape", "from middle to corner 3"))
    assert piece.marks == (("middle", "6 at 50 %"),)
    assert piece.as_drawn == AsDrawn("M", ((0.0, 412.0, 12.0, 90.0, 0.0, 0.0),))
    assert dict(job.allowances) == {
        Finish.HEM: pytest.approx(25.4),
        Finish.SEAM: pytest.approx(12.7),
    }
    assert [s.text for s in job.finding.marker_lines] == ["layer:Bind"]
    assert [s.text for s in job.finding.notches] == ["layer:Notches"]
    assert [s.text for s in job.finding.sewing_lines] == ["layer:Sew"]
    assert job.text == FULL


def test_what_is_not_said_has_the_documented_defaults(tmp_path: Path) -> None:
    job = job_of(
        tmp_path,
        HEAD
        + '[[tapes]]\nname = "t"\nfinished_width = "9 mm"\n'
        + '[[pieces]]\nname = "front"\n'
        + '[[runs]]\nname = "r"\ntape = "t"\nedges = "front 1"\n',
    )

    assert (job.name, job.unit, job.wearer) == (
        "job",
        Unit.MILLIMETRE,
        Wearer.ADULT,
    )
    assert (job.unit_mm, job.seam_allowance) == (None, 0.0)
    assert (job.finding.cut_lines, job.finding.ignore) == ((), ())
    assert job.finding.names == ()
    assert job.finding.sizes is SizeSource.AUTO
    assert (job.finding.cutouts, job.finding.size_names) == ((), ())
    assert (job.finding.names_like, job.finding.test_square) == (None, None)
    assert job.finding.corner_angle == pytest.approx(math.radians(30))
    assert job.fabric.cloth == "quilting cotton"
    assert job.fabric.usable_width == pytest.approx(42 * 25.4)
    assert job.fabric.strip_seam == pytest.approx(6.35)
    assert job.fabric.buy_step == 100.0
    (tape,) = job.tapes
    assert (tape.fold, tape.grain, tape.cloth) == (TapeFold.DOUBLE, Grain.BIAS, "")
    assert (tape.turn_of_cloth, tape.cut_width, tape.packet_length) == (0.0, None, None)
    assert job.pieces == (PieceSettings("front"),)
    assert job.allowances == ()
    assert job.finding.marker_lines == job.finding.notches == ()
    (run,) = job.runs
    assert run.edges == (Word("front 1", ("runs", 0, "edges")),)
    assert (run.start, run.end) == (End.TURNED_UNDER, End.TURNED_UNDER)
    assert (run.turned_under, run.tie_length, run.handling_tail) == (10.0, 0.0, 75.0)
    assert (run.join, run.inside_corners) == (Join.SQUARE, InsideCorner.MITRE)
    assert run.times == 1


def test_cloth_bought_by_the_inch_comes_in_eighths_of_a_yard(tmp_path: Path) -> None:
    job = job_of(tmp_path, HEAD + 'unit = "in"\n')

    assert job.fabric.buy_step == pytest.approx(914.4 / 8)


@pytest.mark.parametrize("name", ["apron.toml", "APRON.TOML", "a.b.Toml"])
def test_a_job_file_is_known_by_its_ending(name: str) -> None:
    assert is_job_file(Path(name))
    assert not is_job_file(Path(name.lower().removesuffix("toml") + "svg"))


def test_a_drawing_alone_is_a_job_without_runs(tmp_path: Path) -> None:
    job = drawing_job(tmp_path / "apron.svg")

    assert job.drawings == (tmp_path / "apron.svg",)
    assert [*job.runs, *job.tapes, *job.pieces] == []


TABLES = {
    "": HEAD,
    "fabric: ": HEAD + "[fabric]\n",
    'cloths "c": ': HEAD
    + '[[cloths]]\nname = "c"\nstretch_ok_percent = 8\nstretch_limit_percent = 20\n'
    + "ease_limit_percent = 20\n",
    'tapes "t": ': HEAD + '[[tapes]]\nname = "t"\nfinished_width = "9 mm"\n',
    'pieces "p": ': HEAD + '[[pieces]]\nname = "p"\n',
    'runs "r": ': HEAD + '[[runs]]\nname = "r"\ntape = "t"\nedges = ["p 1"]\n',
}
TEXT, LENGTH, CHOICE, TEXTS, NUMBER = "text", "length", "choice", "texts", "number"
COUNT, EDGES, TRUTH, TABLE, LIST = "count", "edges", "truth", "table", "list"
EDGE = "edge"
KEYS = {
    "": {
        "name": TEXT,
        "unit": CHOICE,
        "drawings": TEXTS,
        "drawing_unit": LENGTH,
        "cut_lines": TEXTS,
        "ignore": TEXTS,
        "sizes": CHOICE,
        "corner_angle_deg": NUMBER,
        "join_tolerance": LENGTH,
        "seam_allowance": LENGTH,
        "allowances": TABLE,
        "marker_lines": TEXTS,
        "notches": TEXTS,
        "sewing_lines": TEXTS,
        "wearer": CHOICE,
        "fabric": TABLE,
        "cloths": LIST,
        "tapes": LIST,
        "pieces": LIST,
        "runs": LIST,
    },
    "fabric: ": {
        "cloth": TEXT,
        "usable_width": LENGTH,
        "strip_seam": LENGTH,
        "buy_step": LENGTH,
        "shortest_strip": LENGTH,
    },
    'cloths "c": ': {
        "stretch_ok_percent": NUMBER,
        "stretch_limit_percent": NUMBER,
        "ease_ok_percent": NUMBER,
        "ease_limit_percent": NUMBER,
    },
    'tapes "t": ': {
        "finished_width": LENGTH,
        "fold": CHOICE,
        "grain": CHOICE,
        "cloth": TEXT,
        "turn_of_cloth": LENGTH,
        "cut_width": LENGTH,
        "packet_length": LENGTH,
    },
    'pieces "p": ': {
        "cut": COUNT,
        "fold_edge": EDGE,
        "match": TEXTS,
        "bound": EDGES,
        "seam": EDGES,
        "hem": EDGES,
        "facing": EDGES,
        "raw": EDGES,
        "allowances": TABLE,
        "seam_allowance": LENGTH,
        "edge_names": TABLE,
        "marks": TABLE,
        "tape": TEXT,
    },
    'runs "r": ': {
        "tape": TEXT,
        "edges": TEXTS,
        "closed": TRUTH,
        "start": CHOICE,
        "end": CHOICE,
        "turned_under": LENGTH,
        "tie_length": LENGTH,
        "handling_tail": LENGTH,
        "join": CHOICE,
        "inside_corners": CHOICE,
        "times": COUNT,
    },
}
# What a person may write by mistake, and the kinds of key for which it is none.
WRITTEN = {
    "true": {TRUTH},
    "7": {NUMBER, COUNT, EDGE, EDGES},
    "7.5": {NUMBER},
    '"7 mm"': {TEXT, LENGTH, TEXTS},
    '""': set(),
    '"-7 mm"': {TEXT, TEXTS},
    "[]": {LIST},
    "[7]": {EDGES},
    '["7 mm"]': {TEXTS},
    "[[7]]": set(),
    "{}": {TABLE},
    '{ 1 = "b" }': set(),
    "1979-05-27": set(),
    "nan": set(),
    "-7": set(),
    "0": {NUMBER},
}
SELECTORS = {
    *("cut_lines", "ignore", "match"),
    *("marker_lines", "notches", "sewing_lines"),
}
CASES = [
    (place, key, kind, written)
    for place, keys in KEYS.items()
    for key, kind in keys.items()
    for written, right in WRITTEN.items()
    if kind not in right or (key in SELECTORS and "7 mm" in written)
]


def with_value(place: str, key: str, written: str) -> str:
    """Write a value for a key in a table, instead of what stands there."""
    lines = [
        line for line in TABLES[place].splitlines() if not line.startswith(f"{key} =")
    ]
    at = 0 if place == "" else len(lines)
    return "\n".join([*lines[:at], f"{key} = {written}", *lines[at:]])


@pytest.mark.parametrize(("place", "key", "kind", "written"), CASES)
def test_a_value_of_the_wrong_kind_is_one_line_with_table_and_key(
    tmp_path: Path, place: str, key: str, kind: str, written: str
) -> None:
    mistakes = mistakes_of(tmp_path, with_value(place, key, written))

    assert len(mistakes) == 1, kind
    assert mistakes[0].startswith(f"{place}{key}: ")
    assert len(mistakes[0].splitlines()) == 1


@pytest.mark.parametrize(
    ("place", "key"), [(place, key) for place, keys in KEYS.items() for key in keys]
)
def test_a_misspelt_key_is_one_line_with_the_nearest_one(
    tmp_path: Path, place: str, key: str
) -> None:
    mistakes = mistakes_of(tmp_path, with_value(place, f"{key}x", "3"))

    assert len(mistakes) == 1
    assert mistakes[0].startswith(f"{place}{key}x: unknown key; did you mean ")
    assert f'"{key}"' in mistakes[0]


@pytest.mark.parametrize(
    ("place", "key", "written", "said"),
    [
        ("", "corner_angle_deg", "0", "is 0: every point would be a corner"),
        ("", "corner_angle_deg", "181", "is 181; must lie between 0 and 180"),
        ("", "drawing_unit", '"0 mm"', '"0 mm" must be more than nothing'),
        ("fabric: ", "usable_width", '"0 in"', '"0 in" must be more than nothing'),
        ('cloths "c": ', "stretch_ok_percent", "30", "more than stretch_limit_percent"),
        ('cloths "c": ', "ease_ok_percent", "30", "more than ease_limit_percent"),
        ('cloths "c": ', "stretch_limit_percent", "41.5", "between 0 and 41.4"),
        (
            'cloths "c": ',
            "stretch_limit_percent",
            "0",
            "is 0; must be more than noth",
        ),
        ('tapes "t": ', "finished_width", '"0 mm"', "must be more than nothing"),
        ('tapes "t": ', "cut_width", '"17 mm"', "less than twice the finished width"),
        (
            'tapes "t": ',
            "cut_width",
            '"50 in"',
            "more than 20 times the finished width",
        ),
        ('tapes "t": ', "grain", '"bais"', '"bais" is not known; did you mean "bias"?'),
        ('pieces "p": ', "cut", "0", "is 0; must lie between 1 and 1000"),
        ('pieces "p": ', "cut", "5000000000", "must lie between 1 and 1000"),
        ('pieces "p": ', "match", '"layr:x"', 'begins with "layr"; did you mean "laye'),
        ('runs "r": ', "times", "1000000000", "must lie between 1 and 1000"),
        ('runs "r": ', "turned_under", '"3 furlong"', 'has the unit "furlong"; use mm'),
        (
            'runs "r": ',
            "turned_under",
            "10",
            '10 has no unit; write "10 mm" or "10 in"',
        ),
        ('runs "r": ', "edges", "[]", 'must be a list of edges, like [1, "neck"]'),
        ('runs "r": ', "edges", "7", '7 names no piece; write it like "front 7"'),
        ('pieces "p": ', "hem", "[0]", '"0": edges are numbered from 1'),
        ('pieces "p": ', "hem", "'all except 0'", "edges are numbered from 1"),
        ('pieces "p": ', "hem", "'neck'", '"neck" names no edge; write "2", "all", '),
        ('pieces "p": ', "fold_edge", "[7]", 'must be one edge, like 2 or "neck"'),
        ('pieces "p": ', "edge_names", "{ 3a = 2 }", "3a: means something already"),
        ('pieces "p": ', "edge_names", "{ '' = 2 }", ": means something already"),
        (
            'pieces "p": ',
            "edge_names",
            "{ a = 2, A = 3 }",
            'A: is the same name as "a"',
        ),
        ('pieces "p": ', "edge_names", "{ a = 'from b to c' }", '"b" names no mark'),
        (
            'pieces "p": ',
            "same_edges",
            '{ "1 in L" = 2, "1  in  L" = 3 }',
            '1  in  L: edge 1 in size "L" is written twice',
        ),
        ('pieces "p": ', "marks", "{ 'notch 1' = '2 at 5 %' }", "something already"),
        ('pieces "p": ', "marks", "{ a = '2 at 101 %' }", "no place beyond 100 %"),
        (
            'pieces "p": ',
            "marks",
            "{ a = 'b' }",
            'a: "b" names no mark; write "notch 2',
        ),
        ('pieces "p": ', "as_drawn", "{ size = 'M', edges = [[0]] }", "edges: "),
        ("", "allowances", "{ fold = '1 mm' }", "fold: unknown key"),
    ],
)
def test_a_value_out_of_range_says_what_and_how_to_mend_it(
    tmp_path: Path, place: str, key: str, written: str, said: str
) -> None:
    (message,) = mistakes_of(tmp_path, with_value(place, key, written))

    assert message.startswith(f"{place}{key}: ")
    assert said in message


@pytest.mark.parametrize("key", ["-1", "a", "1.5", "1" * 5000, "\\u0662", "01"])
def test_an_allowance_of_what_is_no_edge_is_a_mistake(tmp_path: Path, key: str) -> None:
    text = TABLES['pieces "p": '] + f'allowances = {{ "{key}" = "1 mm" }}\n'

    (message,) = mistakes_of(tmp_path, text)

    assert message.startswith('pieces "p": allowances: ')
    assert ' names no edge; write "2", "all", ' in message


def test_an_allowance_of_edge_0_is_a_mistake(tmp_path: Path) -> None:
    text = TABLES['pieces "p": '] + 'allowances = { 0 = "1 mm" }\n'

    assert mistakes_of(tmp_path, text) == [
        'pieces "p": allowances: "0": edges are numbered from 1'
    ]


def test_an_allowance_that_is_wrong_on_both_sides_is_two_mistakes(
    tmp_path: Path,
) -> None:
    text = TABLES['pieces "p": '] + 'allowances = { a = "b" }\n'

    first, second = mistakes_of(tmp_path, text)

    assert first.startswith('pieces "p": allowances: a: "b" is not a length')
    assert second.startswith('pieces "p": allowances: "a" names no edge')


def test_an_allowance_without_a_unit_is_a_mistake_of_its_edge(tmp_path: Path) -> None:
    text = TABLES['pieces "p": '] + "allowances = { 2 = 10 }\n"

    (message,) = mistakes_of(tmp_path, text)

    assert message.startswith(
        'pieces "p": allowances: 2: 10 has no unit; write "10 mm"'
    )


@pytest.mark.parametrize(
    ("place", "key"),
    [
        ("", "drawings"),
        ('cloths "c": ', "stretch_limit_percent"),
        ('tapes "t": ', "finished_width"),
        ('runs "r": ', "tape"),
        ('runs "r": ', "edges"),
    ],
)
def test_what_must_be_said_and_is_not_is_one_line(
    tmp_path: Path, place: str, key: str
) -> None:
    text = "\n".join(
        line if not line.startswith(key) else "" for line in TABLES[place].splitlines()
    )

    (message,) = mistakes_of(tmp_path, "# nothing else\n" + text)

    assert message.startswith(f"{place}{key}: is missing; write ")


@pytest.mark.parametrize("table", ["cloths", "tapes", "pieces", "runs"])
def test_a_table_without_a_name_is_called_by_its_number(
    tmp_path: Path, table: str
) -> None:
    mistakes = mistakes_of(tmp_path, HEAD + f"[[{table}]]\n")

    assert f"{table} number 1: name: is missing; write a text in quotes" in mistakes
    assert len(set(mistakes)) == len(mistakes)


@pytest.mark.parametrize("place", ['tapes "t": ', 'pieces "p": ', 'runs "r": '])
def test_two_tables_of_one_name_are_one_line(tmp_path: Path, place: str) -> None:
    text = TABLES[place] + TABLES[place].removeprefix(HEAD)

    (message,) = mistakes_of(tmp_path, text)

    table, name, _ = place.split('"')
    assert message == f'{table.strip()}: two are called "{name}"; give one another name'


def test_a_closed_run_has_no_start_and_no_end(tmp_path: Path) -> None:
    text = TABLES['runs "r": '] + 'closed = true\nstart = "ties"\ntie_length = "1 ft"\n'

    assert mistakes_of(tmp_path, text) == [
        'runs "r": closed: a closed run has no start and no end; take one out'
    ]


def test_ties_need_a_length(tmp_path: Path) -> None:
    text = TABLES['runs "r": '] + 'end = "ties"\n'

    (message,) = mistakes_of(tmp_path, text)

    assert message.startswith('runs "r": tie_length: is missing')


def test_all_mistakes_are_reported_together(tmp_path: Path) -> None:
    text = """
    nmae = "x"
    unit = "furlong"
    seam_allowance = 10
    [fabric]
    width = "3 in"
    [[tapes]]
    name = "t"
    finished_width = "9 foo"
    grain = 3
    [[pieces]]
    name = "p"
    cut = 1.5
    allowances = { x = "1 mm" }
    [[runs]]
    name = "r"
    """

    mistakes = mistakes_of(tmp_path, text)

    for start in (
        "drawings: is missing",
        "nmae: unknown key",
        'unit: "furlong" is not known',
        "seam_allowance: 10 has no unit",
        "fabric: width: unknown key",
        'tapes "t": finished_width: "9 foo" has the unit',
        'tapes "t": grain: must be a text',
        'pieces "p": cut: must be a whole number',
        'pieces "p": allowances: "x" names no edge',
        'runs "r": tape: is missing',
        'runs "r": edges: is missing',
    ):
        assert len([m for m in mistakes if m.startswith(start)]) == 1, start
    assert len(mistakes) == 11


def test_a_mistake_is_said_once_though_a_key_is_read_twice(tmp_path: Path) -> None:
    assert len(mistakes_of(tmp_path, HEAD + "[[pieces]]\nname='p'\nmatch = 3")) == 1
    mistakes = mistakes_of(tmp_path, HEAD + '[[pieces]]\nmatch = ["id:a", "id:b"]')
    assert mistakes == ["pieces number 1: name: is missing; write a text in quotes"]


WRITINGS = {
    "byte order mark": ("\ufeff" + FULL).encode(),
    "windows line ends": FULL.replace("\n", "\r\n").encode(),
    "comments": ("# first\n" + FULL.replace('"lawn"', '"lawn"  # fine')).encode(),
    "no line end": FULL.rstrip("\n").encode(),
}


@pytest.mark.parametrize("data", WRITINGS.values(), ids=WRITINGS.keys())
def test_the_ways_of_editors_make_no_difference(tmp_path: Path, data: bytes) -> None:
    model = job_of(tmp_path, FULL)

    (tmp_path / "job.toml").write_bytes(data)

    assert replace(read_job(tmp_path / "job.toml"), text=model.text) == model


NO_JOBS = {
    "utf-16": ('name = "a"'.encode("utf-16"), "is not text in UTF-8"),
    "latin-1": ('name = "é"'.encode("latin-1"), "is not text in UTF-8"),
    "picture": (bytes(range(256)), "is not text in UTF-8"),
    "svg": (b"<svg/>", "is not a job file in TOML"),
    "no quotes": (b"name = apron", "is not a job file in TOML"),
    "twice": (b"name = 'a'\nname = 'b'", "is not a job file in TOML"),
    "line ends of old": (b"name = 'a'\runit = 'in'", "is not a job file in TOML"),
    "null": (b"name = 'a\0b'", "is not a job file in TOML"),
    "deep": (b"a = " + b"[" * 100000, "nested too deeply"),
    "long number": (b"a = " + b"9" * 5000, "a number of thousands of digits"),
    "long hexadecimal": (b"corner_angle_deg = 0x" + b"f" * 5000, "between 0 and 180"),
    "too large": (b"#" * (MAX_JOB_BYTES + 1), "more than the 1048576 that are read"),
    "empty": (b"", 'is empty; write drawings = ["my.svg"] in it'),
    "quote left out": (b'name = "a\n', "a quotation mark is missing"),
    "curly quotes": ("unit = \u201cin\u201d".encode(), "straight quotation marks"),
    "curly quotes later": (
        "a = [\n 'b', \u201ec\u201c]".encode(),
        'straight quotation marks, "like this" (at line 2, column 7)',
    ),
}


@pytest.mark.parametrize(("data", "said"), NO_JOBS.values(), ids=NO_JOBS.keys())
def test_what_is_no_job_file_is_one_line(
    tmp_path: Path, data: bytes, said: str
) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(data)

    with pytest.raises(EdgefinderError) as caught:
        read_job(path)

    own = [m for m in caught.value.messages if said in m]
    assert len(own) == 1
    assert own[0].startswith(f"{path}: ")
    assert len(own[0]) < 300


@pytest.mark.parametrize("ending", [".svg", ".DXF", ".svgz"])
def test_a_drawing_in_the_place_of_a_job_file_is_told_apart(
    tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"apron{ending}"
    path.write_text("<svg/>")

    with pytest.raises(SettingsError, match=r'is a drawing.*"edgefinder new apron'):
        read_job(path)


def test_a_mistake_in_toml_says_its_line(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text('name = "a"\nunit = in\n')

    with pytest.raises(SettingsError, match="line 2"):
        read_job(path)


def test_a_job_file_that_is_not_there_suggests_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "apron.toml").write_text(HEAD)

    with pytest.raises(DrawingError, match=r'no such file; did you mean "apron\.toml"'):
        read_job(tmp_path / "aprn.toml")


def test_a_name_with_control_characters_cannot_break_a_message(tmp_path: Path) -> None:
    mistakes = mistakes_of(tmp_path, HEAD + '"evil\\nerror: all is well" = 2')

    assert len(mistakes) == 1
    assert "\n" not in mistakes[0]


def test_the_demo_job_files_are_right() -> None:
    demo = Path(__file__).parents[1] / "fixtures" / "demo"

    for name in ("orchard-apron", "puddle-smock"):
        assert read_job(demo / f"{name}.toml").runs


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('names_like = "("', 'names_like: "(" is not a regular expression: missing )'),
        ('names_like = "(?P<piece>.+)"', "has no group (?P<size>...)"),
        ('names_like = "(?P<piece>(a+)+)(?P<size>.)"', "could take for ever"),
        ('names_like = " "', "names_like: is empty"),
        ("names_like = 3", "names_like: must be a text in quotes"),
        ('test_square = "0 in"', 'test_square: "0 in" must be more than nothing'),
        ("test_square = 2", 'test_square: 2 has no unit; write "2 mm" or "2 in"'),
        ('cutouts = "window"', 'cutouts: "window" chooses nothing'),
        ('sizes = "color"', 'sizes: "color" is not known; did you mean "colour"?'),
        ('dialect = "plane"', 'dialect: "plane" is not known; did you mean "plain"?'),
        (
            'dialect = "astm"',
            'dialect: "astm" is not known; known: "auto", "plain" and "interchange"',
        ),
        ("size_names = { red = 3 }", "size_names: red: must be a text in quotes"),
        ('size_names = { red = "" }', "size_names: red: is empty"),
        ('size_names = "red"', "size_names: must be a table, [size_names]"),
    ],
)
def test_a_mistake_about_names_sizes_and_scale_is_one_line(
    tmp_path: Path, line: str, said: str
) -> None:
    (mistake,) = mistakes_of(tmp_path, HEAD + line + "\n")

    assert said in mistake
