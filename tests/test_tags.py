"""Job files held against drawings: every rule followed, or one line for each."""

from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from drawn import LARGE_SHEET, bodice, compound, job_of, piece_of, pieces_of
from dxf_drawings import drawing as dxf_drawing
from dxf_drawings import text_of
from shapes import circle_outline, polygon, rectangle
from svg_texts import svg_text

from edgefinder.classifier.job import Finish
from edgefinder.classifier.rings import Copy
from edgefinder.classifier.sizes import sort_by_size
from edgefinder.classifier.tagging import tag_sizes
from edgefinder.classifier.tags import TaggedPiece, TaggedSize
from edgefinder.errors import EdgefinderError, TagError
from edgefinder.importers.formats import read_drawing
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.pieces import Piece
from edgefinder.schedule.reading import tag_pattern

HEAD = """
drawings = ["a.svg"]
seam_allowance = "10 mm"
[[tapes]]
name = "main"
finished_width = "9 mm"
"""


def run_of(*edges: str, name: str = "neck", more: str = "") -> str:
    listed = ", ".join(f"'{edge}'" for edge in edges)
    return f'[[runs]]\nname = "{name}"\ntape = "main"\nedges = [{listed}]\n{more}\n'


def piece_text(name: str, more: str) -> str:
    return f'[[pieces]]\nname = "{name}"\n{more}\n'


def tagged(folder: FilePath, text: str, *pieces: Piece) -> tuple[TaggedSize, ...]:
    sizes, _ = sort_by_size([pieces])
    return tag_sizes(job_of(folder, HEAD + text), sizes)


def tag_one(folder: FilePath, text: str, piece: Piece) -> TaggedPiece:
    ((one,),) = [size.pieces for size in tagged(folder, text, piece)]
    return one


def mistakes(folder: FilePath, text: str, *pieces: Piece) -> list[str]:
    with pytest.raises(TagError) as caught:
        tagged(folder, text, *pieces)
    front = f"{folder / 'job.toml'}: "
    assert all(message.startswith(front) for message in caught.value.messages)
    return [message.removeprefix(front) for message in caught.value.messages]


def test_edges_in_a_run_are_bound_and_the_others_are_seams(tmp_path: FilePath) -> None:
    one = tag_one(tmp_path, run_of("front 5"), piece_of(bodice()))

    assert [str(finish) for finish in one.finishes] == [
        "seam",
        "seam",
        "seam",
        "seam",
        "bound",
        "seam",
    ]
    assert one.allowances == (10, 10, 10, 10, 0, 10)


def test_what_a_piece_says_of_its_edges_is_followed(tmp_path: FilePath) -> None:
    said = (
        'fold_edge = 6\nhem = [1]\nfacing = [3]\nraw = [2]\nallowances = { 5 = "4 mm" }'
    )

    one = tag_one(
        tmp_path, piece_text("FRONT", said) + run_of("front 5"), piece_of(bodice())
    )

    assert one.finishes == (
        Finish.HEM,
        Finish.RAW,
        Finish.FACING,
        Finish.SEAM,
        Finish.BOUND,
        Finish.FOLD,
    )
    assert one.allowances == (0, 0, 10, 10, 4, 0)


def test_a_run_in_every_size_is_laid_on_that_size(tmp_path: FilePath) -> None:
    pieces = [piece_of(bodice(), "front", size) for size in ("S", "M")]

    sizes = tagged(tmp_path, run_of("front 4", "front 5"), *pieces)

    assert [size.size for size in sizes] == ["S", "M"]
    for size, piece in zip(sizes, pieces, strict=True):
        (run,) = size.runs
        (group,) = run.groups
        assert group.piece is piece
        assert group.copies == (Copy(4), Copy(5))


def test_a_run_on_a_piece_that_all_sizes_share(tmp_path: FilePath) -> None:
    pieces = [
        piece_of(bodice(), "front", "S"),
        piece_of(bodice(), "front", "M"),
        piece_of(rectangle(300, 40), "strap"),
    ]

    sizes = tagged(tmp_path, run_of("strap 1"), *pieces)

    assert [size.runs[0].groups[0].piece for size in sizes] == [pieces[2], pieces[2]]


NAMES = ["front 2", "2", "all", 'the "good" one', "Rückenteil ½", "a: b", "x mirrored"]


@pytest.mark.parametrize("name", NAMES)
def test_any_name_of_a_piece_can_be_used(tmp_path: FilePath, name: str) -> None:
    pieces = [piece_of(bodice(), name), piece_of(bodice(), "front")]

    (size,) = tagged(tmp_path, run_of(f"{name} 5"), *pieces)

    assert size.runs[0].groups[0].piece is pieces[0]
    assert size.pieces[0].finishes[4] is Finish.BOUND
    assert Finish.BOUND not in size.pieces[1].finishes


def test_all_edges_of_a_piece_make_a_closed_run(tmp_path: FilePath) -> None:
    (size,) = tagged(
        tmp_path,
        run_of("pot all", more="closed = true"),
        piece_of(rectangle(90, 80), "pot"),
    )

    assert size.runs[0].groups[0].is_whole
    assert size.pieces[0].allowances == (0, 0, 0, 0)


def test_an_outline_of_a_single_corner_can_be_bound_all_round(
    tmp_path: FilePath,
) -> None:
    (size,) = tagged(
        tmp_path,
        run_of("disc 1", more="closed = true"),
        piece_of(circle_outline(60), "disc"),
    )

    assert size.runs[0].groups[0].is_whole


def test_a_cut_out_can_be_bound(tmp_path: FilePath) -> None:
    (piece,) = pieces_of(
        *compound(rectangle(300, 200), circle_outline(40, 150 + 90j), label="front")
    )

    one = tag_one(tmp_path, run_of("front 5", more="closed = true"), piece)

    assert one.finishes[4] is Finish.BOUND


@pytest.mark.parametrize(
    ("edge", "said"),
    [
        ("frnot 5", 'there is no piece "frnot"; did you mean "front"?'),
        ("front 7", '"front" has no edge 7; it has edges 1 to 6'),
        ("front", '"front" names a piece and no edge; write "front 2" or "front all"'),
        ("front 0", '"front" has no edge 0; it has edges 1 to 6'),
        ("neck", '"neck" names no edge; write a piece and a number, like "front 2"'),
        ("front colour:#ff0000", 'no edge of "front" is drawn as "colour:#ff0000"'),
    ],
)
def test_an_edge_that_does_not_exist_is_one_line_with_run_and_edge(
    tmp_path: FilePath, edge: str, said: str
) -> None:
    (message,) = mistakes(tmp_path, run_of("front 5", edge), piece_of(bodice()))

    assert message.startswith(f'runs "neck": edges: "{edge}": {said}')


def test_an_unknown_piece_is_one_line_with_the_nearest_name(tmp_path: FilePath) -> None:
    text = run_of("front 5") + piece_text("fornt", "cut = 2")

    assert mistakes(tmp_path, text, piece_of(bodice())) == [
        'pieces "fornt": the drawing has no such piece; did you mean "front"?'
    ]


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("fold_edge = 7", "fold_edge"),
        ("hem = [7]", "hem"),
        ("facing = [7]", "facing"),
        ("raw = 7", "raw"),
        ('allowances = { 7 = "1 mm" }', "allowances"),
    ],
)
def test_an_edge_of_a_piece_that_is_not_there_is_one_line_with_the_key(
    tmp_path: FilePath, said: str, key: str
) -> None:
    text = run_of("front 5") + piece_text("front", said)

    assert mistakes(tmp_path, text, piece_of(bodice())) == [
        f'pieces "front": {key}: "front" has no edge 7; it has edges 1 to 6'
    ]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (
            "hem = [5]",
            (
                'edge 5 of "front" is bound by line 10, runs "neck": "front 5" and hem '
                'by line 14, pieces "front": hem: "5"; take one out'
            ),
        ),
        (
            "raw = [5]",
            (
                'edge 5 of "front" is bound by line 10, runs "neck": "front 5" and raw '
                'by line 14, pieces "front": raw: "5"; take one out'
            ),
        ),
        (
            "hem = [1]\nraw = [1]",
            (
                'edge 1 of "front" is hem by line 14, pieces "front": hem: "1" and raw '
                'by line 15, pieces "front": raw: "1"; take one out'
            ),
        ),
        (
            "fold_edge = 6\nfacing = [6]",
            (
                'edge 6 of "front" is fold by line 14, pieces "front": fold_edge = 6 '
                'and facing by line 15, pieces "front": facing: "6"; take one out'
            ),
        ),
        (
            "raw = [\n  1,\n  2,\n]\nhem = [\n  3,\n  2,  # again\n]",
            (
                'edge 2 of "front" is hem by line 20, pieces "front": hem: "2" and raw '
                'by line 16, pieces "front": raw: "2"; take one out'
            ),
        ),
    ],
)
def test_rules_that_disagree_are_told_with_the_lines_of_both(
    tmp_path: FilePath, said: str, message: str
) -> None:
    text = run_of("front 5") + piece_text("front", said)

    assert mistakes(tmp_path, text, piece_of(bodice())) == [
        f'pieces "front": {message}'
    ]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (
            "raw = [1, 1]",
            'is raw by line 14, pieces "front": raw: "1", which is written twice',
        ),
        (
            'raw = [1]\nedge_names = { foot = 1 }\nhem = "all except 1, 2, 3, 5, 6"\n',
            "",
        ),
        (
            'raw = [1,\n  "foot"]\nedge_names = { foot = 1 }\n',
            (
                'is raw by line 14, pieces "front": raw: "1" and by line 15, pieces '
                '"front": raw: "foot"'
            ),
        ),
        ("bound = [5]", ""),  # a run may take up an edge of the list
    ],
)
def test_rules_that_say_the_same_twice_are_a_finding(
    tmp_path: FilePath, said: str, message: str
) -> None:
    text = run_of("front 5") + piece_text("front", said)

    found = findings(tmp_path, text, piece_of(bodice()))

    name = "foot" if "foot" in said else "1"
    assert found == ([f'"front" edge {name}: {message}'] if message else [])


def test_disagreements_hide_no_other_mistake(tmp_path: FilePath) -> None:
    said = "hem = [1, 2]\nraw = [1, 2]\nfacing = [9]"

    found = mistakes(
        tmp_path, piece_text("front", said) + run_of("front 5"), piece_of(bodice())
    )

    assert [message[:40] for message in found] == [
        'pieces "front": facing: "front" has no e',
        'pieces "front": edge 1 of "front" is hem',
        'pieces "front": edge 2 of "front" is hem',
    ]


def test_a_fold_that_is_bound_is_one_line(tmp_path: FilePath) -> None:
    text = piece_text("front", "fold_edge = 6") + run_of("front 6")

    assert mistakes(tmp_path, text, piece_of(bodice())) == [
        (
            'pieces "front": edge 6 of "front" is bound by line 13, runs "neck": '
            '"front 6" and fold by line 9, pieces "front": fold_edge = 6; take one out'
        )
    ]


def test_a_fold_that_is_curved_is_one_line(tmp_path: FilePath) -> None:
    text = piece_text("front", "fold_edge = 3") + run_of("front 5")

    assert mistakes(tmp_path, text, piece_of(bodice())) == [
        'pieces "front": fold_edge: edge 3 is not straight; a fold is'
    ]


def test_a_fold_with_an_allowance_is_one_line(tmp_path: FilePath) -> None:
    said = 'fold_edge = 6\nallowances = { 6 = "10 mm" }'

    (message,) = mistakes(
        tmp_path, piece_text("front", said) + run_of("front 5"), piece_of(bodice())
    )

    assert message.endswith("fold_edge: edge 6 has an allowance; a fold has none")


def test_a_fold_on_a_cut_out_is_one_line(tmp_path: FilePath) -> None:
    (piece,) = pieces_of(
        *compound(
            rectangle(300, 200),
            polygon(100 + 50j, 200 + 50j, 150 + 150j),
            label="front",
        )
    )

    (message,) = mistakes(
        tmp_path, piece_text("front", "fold_edge = 5") + run_of("front 1"), piece
    )

    assert "edge 5 is on a cut-out" in message


def test_a_loop_cannot_lie_on_the_fold(tmp_path: FilePath) -> None:
    text = piece_text("disc", "fold_edge = 1") + run_of("disc 1")

    found = mistakes(tmp_path, text, piece_of(circle_outline(60), "disc"))

    assert 'pieces "disc": fold_edge: edge 1 is not straight; a fold is' in found


def test_a_run_whose_edges_do_not_meet_is_one_line(tmp_path: FilePath) -> None:
    (message,) = mistakes(tmp_path, run_of("front 2", "front 4"), piece_of(bodice()))

    assert message == (
        'runs "neck": edges: "front 2" and "front 4" do not meet; between them lies '
        "edge 3"
    )


def test_a_closed_run_that_does_not_close_is_one_line(tmp_path: FilePath) -> None:
    text = run_of("front 2", "front 3", more="closed = true")

    (message,) = mistakes(tmp_path, text, piece_of(bodice()))

    assert message.startswith('runs "neck": closed: "front 3" does not meet "front 2"')


def test_what_is_wrong_in_every_size_is_said_once(tmp_path: FilePath) -> None:
    pieces = [piece_of(bodice(), "front", size) for size in ("S", "M", "L")]

    found = mistakes(tmp_path, run_of("front 9"), *pieces)

    assert found == [
        'runs "neck": edges: "front 9": "front" has no edge 9; it has edges 1 to 6'
    ]


def test_what_is_wrong_in_one_size_names_it(tmp_path: FilePath) -> None:
    pieces = [
        piece_of(bodice(), "front", "S"),
        piece_of(bodice(), "front", "M"),
        piece_of(rectangle(300, 40), "strap", "M"),
    ]

    found = mistakes(tmp_path, run_of("strap 1"), *pieces)

    (message,) = found
    assert message.startswith(
        'runs "neck": edges: "strap 1": there is no piece "strap"'
    )
    assert message.endswith(" (size S)")


def melted(size: str) -> Piece:
    """A rectangle in a size in which its edges 3 and 4 of other sizes are one edge."""
    known = {3: (3, 4)}
    piece = piece_of(polygon(0, 110, 60 + 80j), "front", size)
    edges = tuple(
        replace(edge, numbers=known.get(edge.number, ())) for edge in piece.edges
    )
    return replace(piece, edges=edges)


def test_half_of_an_edge_that_is_one_in_another_size_cannot_be_bound(
    tmp_path: FilePath,
) -> None:
    pieces = [piece_of(rectangle(100, 80), "front", "S"), melted("M")]

    (message,) = mistakes(tmp_path, run_of("front 3"), *pieces)

    assert message == (
        'pieces "front": edges 3 and 4 of "front" are one edge in size M, where no '
        "corner is between them, and only edge 3 is bound by line 10, runs "
        '"neck": "front 3"; tag them alike, or draw the corner (size M)'
    )


def test_both_halves_of_an_edge_that_is_one_in_another_size_can_be_bound(
    tmp_path: FilePath,
) -> None:
    pieces = [piece_of(rectangle(100, 80), "front", "S"), melted("M")]

    small, medium = tagged(tmp_path, run_of("front 3", "front 4"), *pieces)

    assert small.runs[0].groups[0].copies == (Copy(3), Copy(4))
    assert medium.runs[0].groups[0].copies == (Copy(3),)


def test_all_mistakes_are_reported_together(tmp_path: FilePath) -> None:
    text = (
        run_of("frnot 1", "front 9", name="one")
        + run_of("front 2", "front 4", name="two")
        + run_of("front 1", name="three", more="closed = true")
        + piece_text("front", 'raw = [8]\nhem = [2]\nallowances = { 9 = "1 mm" }')
        + piece_text("bakc", "cut = 2")
    )

    found = mistakes(tmp_path, text, piece_of(bodice()), piece_of(bodice(), "back"))

    for start in (
        'pieces "bakc": the drawing has no such piece; did you mean "back"',
        'runs "one": edges: "frnot 1": ',
        'runs "one": edges: "front 9": ',
        'pieces "front": edge 2 of "front" is bound by line ',
        'pieces "front": raw: "front" has no edge 8',
        'pieces "front": allowances: "front" has no edge 9',
        'runs "two": edges: "front 2" and "front 4" do not meet',
        'runs "three": closed: ',
    ):
        assert len([m for m in found if m.startswith(start)]) == 1, start
    assert len(found) == 8


def findings(folder: FilePath, text: str, *pieces: Piece) -> list[str]:
    (size,) = tagged(folder, text, *pieces)
    return [f"{finding.where}: {finding.message}" for finding in size.findings]


def test_an_edge_bound_less_often_than_it_is_cut_is_a_finding(
    tmp_path: FilePath,
) -> None:
    text = piece_text("front", "cut = 2") + run_of("front 5")

    (said,) = findings(tmp_path, text, piece_of(bodice()))

    assert said.startswith('"front" edge 5: is cut 2 times and bound once')


@pytest.mark.parametrize(
    ("said", "edges", "more"),
    [
        ("cut = 2", ("front 5",), "times = 2"),
        ("fold_edge = 6", ("front 5",), ""),  # one, across the fold
        ("fold_edge = 6", ("front 4", "front 5", "front 4 mirrored"), ""),
        ("fold_edge = 6", ("front 3",), "times = 2"),
        ("fold_edge = 6\ncut = 2", ("front 1",), "times = 2"),
    ],
)
def test_edges_bound_as_often_as_they_are_cut_are_none(
    tmp_path: FilePath, said: str, edges: tuple[str, ...], more: str
) -> None:
    text = piece_text("front", said) + run_of(*edges, more=more)

    assert findings(tmp_path, text, piece_of(bodice())) == []


# Side and armhole meet at 21 degrees here and are one edge: the neck is edge 4.
BODICE = "M0,300 h150 l10,-180 L120,0 L60,20 C55,60 30,80 0,80 z"


def from_file(folder: FilePath, file: str, text: str, edges: str) -> list[int]:
    """Tag the one piece of a drawing on disk; return its bound edges."""
    (folder / file).write_text(text, encoding="utf-8")
    job = job_of(folder, HEAD + run_of(edges, more="closed = false"))
    pieces = find_pieces(read_drawing(folder / file), job.finding).pieces
    ((one,),) = [s.pieces for s in tag_sizes(job, sort_by_size([pieces])[0])]
    return [n for n, f in enumerate(one.finishes, start=1) if f is Finish.BOUND]


def drawn_in_two(neck: str, rest: str, around: str = "") -> str:
    """A bodice whose neck is a line of its own."""
    body = (
        f'<g id="front" {around}>'
        f'<path d="M0,80 V300 H150 L160,120 L120,0 L60,20" {rest}/>'
        f'<path d="M60,20 C55,60 30,80 0,80" {neck}/></g>'
    )
    return svg_text(body, LARGE_SHEET).decode()


@pytest.mark.parametrize(
    ("neck", "rest", "selector"),
    [
        ('stroke="#d55e00"', 'stroke="black"', "colour:#d55e00"),
        ('style="stroke:#D55E00"', "", "color:#d55e00"),
        ('stroke="rgb(213,94,0)"', 'stroke="#000"', "colour:#D55E00"),
        ('id="neckline"', 'id="rest"', "id:neck*"),
        ('class="bound wide"', 'class="cut"', "class:bound"),
    ],
)
def test_edges_of_an_svg_are_bound_by_colour_id_and_class(
    tmp_path: FilePath, neck: str, rest: str, selector: str
) -> None:
    text = drawn_in_two(neck, rest)

    assert from_file(tmp_path, "a.svg", text, f"front {selector}") == [4]


def test_edges_of_an_svg_are_bound_by_layer(tmp_path: FilePath) -> None:
    body = (
        '<g id="Cut"><path d="M0,80 V300 H150 L160,120 L120,0 L60,20"/></g>'
        '<g id="Bound"><path d="M60,20 C55,60 30,80 0,80"/></g>'
    )
    text = svg_text(body, LARGE_SHEET).decode()

    assert from_file(tmp_path, "a.svg", text, "piece 1 layer:Bound") == [4]


@pytest.mark.parametrize("selector", ["layer:BOUND", "colour:#ff0000"])
def test_edges_of_a_dxf_are_bound_by_layer_and_colour(
    tmp_path: FilePath, selector: str
) -> None:
    document = dxf_drawing()
    document.layers.add("BOUND", color=1)  # red
    document.layers.add("CUT", color=7)
    space = document.modelspace()
    space.add_lwpolyline(
        [(0, 220), (0, 0), (150, 0), (160, 180), (120, 300), (60, 280)],
        dxfattribs={"layer": "CUT"},
    )
    space.add_open_spline(
        [(60, 280), (55, 240), (30, 220), (0, 220)], dxfattribs={"layer": "BOUND"}
    )

    found = from_file(tmp_path, "a.dxf", text_of(document), f"piece 1 {selector}")

    assert found == [4]


def test_an_edge_drawn_only_partly_so_is_one_line(tmp_path: FilePath) -> None:
    body = (
        '<g id="front"><path d="M0,80 V300 H150 L160,120 L120,0 L60,20 L40,45"/>'
        '<path stroke="#f00" d="M40,45 L0,80"/></g>'
    )

    with pytest.raises(TagError) as caught:
        from_file(
            tmp_path,
            "a.svg",
            svg_text(body, LARGE_SHEET).decode(),
            "front colour:#ff0000",
        )

    (message,) = caught.value.messages
    assert 'edge 4 of "front" is only partly drawn as "colour:#ff0000"' in message


def test_a_mistake_in_the_drawing_hides_none_in_the_job_file(
    tmp_path: FilePath,
) -> None:
    (tmp_path / "a.svg").write_bytes(
        svg_text('<path d="M0,0 h200 v100 h-200 v-97"/>', LARGE_SHEET)
    )
    text = HEAD + run_of("front 1").replace('"main"', '"mian"')

    with pytest.raises(EdgefinderError) as caught:
        tag_pattern(job_of(tmp_path, text))

    found = "\n".join(caught.value.messages)
    assert "is open: 3.00 mm" in found
    assert 'there is no tape "mian"; did you mean "main"?' in found


def test_unknown_tapes_cloths_and_edges_are_reported_together(
    tmp_path: FilePath,
) -> None:
    (tmp_path / "a.svg").write_bytes(
        svg_text(f'<path id="front" d="{BODICE}"/>', LARGE_SHEET)
    )
    text = (
        HEAD
        + 'cloth = "coton"\n[[tapes]]\nname = "wide"\nfinished_width = "12 mm"\n'
        + "[fabric]\ncloth = 'linnen'\n"
        + run_of("front 9").replace('"main"', '"mian"')
    )

    with pytest.raises(EdgefinderError) as caught:
        tag_pattern(job_of(tmp_path, text))

    found = [
        m.removeprefix(f"{tmp_path / 'job.toml'}: ") for m in caught.value.messages
    ]
    assert any(
        m.startswith('tapes "main": cloth: there is no cloth "coton"') for m in found
    )
    assert any(m.startswith('fabric: cloth: there is no cloth "linnen"') for m in found)
    assert any(
        m.startswith('runs "neck": tape: there is no tape "mian"') for m in found
    )
    assert any(m.startswith('runs "neck": edges: "front 9": ') for m in found)
    assert len(found) == 4


@pytest.mark.parametrize(
    ("more", "is_told"),
    [("", True), ("closed = false", False), ("closed = true", False)],
)
def test_an_open_run_once_round_is_asked_about_unless_it_is_written(
    tmp_path: FilePath, more: str, is_told: bool
) -> None:
    piece = piece_of(rectangle(200, 100))
    (size,) = tagged(tmp_path, run_of("front all", more=more), piece)
    assert ("open-loop" in {one.code for one in size.findings}) is is_told
