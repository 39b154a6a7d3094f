from collections.abc import Mapping
from enum import StrEnum

import pytest

from edgefinder.classifier.fields import Fields, Word
from edgefinder.classifier.keys import Key, Kind
from edgefinder.units import parse_length


class Fruit(StrEnum):
    APPLE = "apple"
    BLACK_CHERRY = "black cherry"


def fields(data: Mapping[str, object]) -> tuple[Fields, list[str]]:
    mistakes: list[str] = []
    return Fields(data, "job.toml: ", mistakes), mistakes


def test_a_text_is_stripped() -> None:
    table, mistakes = fields({"name": "  apron "})

    assert table.text("name") == "apron"
    assert mistakes == []


def test_a_text_may_have_a_default() -> None:
    table, mistakes = fields({})

    assert table.text("cloth", "lawn") == "lawn"
    assert mistakes == []


def test_a_missing_text_is_a_mistake_without_a_default() -> None:
    table, mistakes = fields({})

    table.text("name")

    assert mistakes == ["job.toml: name: is missing; write a text in quotes"]


@pytest.mark.parametrize("text", ["", "   ", "\t"])
def test_an_empty_text_is_a_mistake(text: str) -> None:
    table, mistakes = fields({"name": text})

    table.text("name", "x")

    assert mistakes == ["job.toml: name: is empty"]


def test_one_text_counts_as_a_list_of_one() -> None:
    table, mistakes = fields({"edges": "front 1", "match": ["a", "b"]})

    assert table.texts("edges") == ("front 1",)
    assert table.texts("match") == ("a", "b")
    assert table.texts("ignore") == ()
    assert mistakes == []


@pytest.mark.parametrize("value", [[], [1], ["a", 2], 3, {"a": "b"}, True, ""])
def test_what_is_no_list_of_texts_is_one_mistake(value: object) -> None:
    table, mistakes = fields({"edges": value})

    assert table.texts("edges") == ()
    assert len(mistakes) == 1
    assert mistakes[0].startswith("job.toml: edges: ")


def test_edges_are_numbers_or_texts_and_know_where_they_stand() -> None:
    mistakes: list[str] = []
    data = {"raw": 2, "hem": [1, "  side   seam "], "bound": "all except 2"}
    table = Fields(data, "job.toml: ", mistakes, ("pieces", 3))

    assert table.words("raw") == (Word("2", ("pieces", 3, "raw")),)
    assert table.words("hem") == (
        Word("1", ("pieces", 3, "hem", 0)),
        Word("side seam", ("pieces", 3, "hem", 1)),
    )
    assert table.words("bound") == (Word("all except 2", ("pieces", 3, "bound")),)
    assert table.words("facing") == ()
    table.close()
    assert mistakes == []


@pytest.mark.parametrize(
    "value",
    [-1, True, [True], [-1], [1.0], 10**400, [1, 10**400], 2.0, [], "", " ", [""], {}],
)
def test_what_is_no_list_of_edges_is_one_mistake(value: object) -> None:
    table, mistakes = fields({"raw": value})

    assert table.words("raw") == ()
    assert len(mistakes) == 1
    assert mistakes[0].startswith("job.toml: raw: ")
    assert '[1, "neck"]' in mistakes[0]


def test_edges_that_must_be_there_are_a_mistake_without_them() -> None:
    table, mistakes = fields({})

    assert table.words("edges", required=True) == ()
    assert mistakes == [
        'job.toml: edges: is missing; write a list of edges, like [1, "neck"]'
    ]


def test_one_edge_is_a_number_or_a_text() -> None:
    table, mistakes = fields({"fold_edge": 4, "side": "3a"})

    assert table.word("fold_edge") == Word("4", ("fold_edge",))
    assert table.word("side") == Word("3a", ("side",))
    assert table.word("neck") is None
    table.close()
    assert mistakes == []


@pytest.mark.parametrize("value", [[7], [1, 2], [], True, 1.0, "", {"a": 1}])
def test_what_is_not_one_edge_is_one_mistake(value: object) -> None:
    table, mistakes = fields({"fold_edge": value})

    assert table.word("fold_edge") is None
    table.close()
    assert len(mistakes) == 1
    assert mistakes[0].startswith("job.toml: fold_edge: ")


def test_rows_are_lists_of_numbers() -> None:
    table, mistakes = fields({"edges": [[0, 1.5], [1]]})

    assert table.rows("edges") == ((0.0, 1.5), (1.0,))
    assert mistakes == []


@pytest.mark.parametrize("value", [[1], [["a"]], [[True]], [[0, "1"]], 3, "x"])
def test_what_is_no_list_of_rows_is_one_mistake(value: object) -> None:
    table, mistakes = fields({"edges": value})

    assert table.rows("edges") == ()
    assert len(mistakes) == 1


def test_a_count_is_a_whole_number_from_one() -> None:
    table, mistakes = fields({"cut": 2})

    assert table.count("cut", 1) == 2
    assert table.count("times", 1) == 1
    assert table.count("fold_edge", None) is None
    assert mistakes == []


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "is 0; must lie between 1 and 1000"),
        (-3, "is -3; must lie between 1 and 1000"),
        (1001, "is 1001; must lie between 1 and 1000"),
        (10**400, "must lie between 1 and 1000"),
        (1.0, "must be a whole number"),
        (True, "must be a whole number"),
        ("2", "must be a whole number"),
    ],
)
def test_a_count_out_of_range_is_a_mistake(value: object, said: str) -> None:
    table, mistakes = fields({"cut": value})

    assert table.count("cut", 1, most=1000) == 1
    assert mistakes == [f"job.toml: cut: {said}"]


@pytest.mark.parametrize(("value", "number"), [(0, 0.0), (30, 30.0), (41.4, 41.4)])
def test_a_number_may_be_whole_or_not(value: float, number: float) -> None:
    table, mistakes = fields({"ease": value})

    read = table.number("ease", 1.0, most=41.4)

    assert read == number
    assert isinstance(read, float)
    assert mistakes == []


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (-0.1, "is -0.1; must lie between 0 and 40"),
        (40.5, "is 40.5; must lie between 0 and 40"),
        (float("inf"), "must lie between 0 and 40"),
        (float("nan"), "must lie between 0 and 40"),
        (10**400, "must lie between 0 and 40"),
        (True, "must be a number"),
        ("3", "must be a number"),
    ],
)
def test_a_number_out_of_range_is_a_mistake(value: object, said: str) -> None:
    table, mistakes = fields({"ease": value})

    assert table.number("ease", 1.0, most=40.0) == 1.0
    assert mistakes == [f"job.toml: ease: {said}"]


def test_truth_is_true_or_false_and_nothing_else() -> None:
    table, mistakes = fields({"closed": True, "open": 1, "other": "true"})

    assert table.truth("closed", default=False)
    assert not table.truth("missing", default=False)
    assert not table.truth("open", default=False)
    assert not table.truth("other", default=False)
    assert mistakes == [
        "job.toml: open: must be true or false",
        "job.toml: other: must be true or false",
    ]


def test_a_length_is_read_in_millimetres() -> None:
    table, mistakes = fields({"width": "3/8 in"})

    assert table.length("width", None) == pytest.approx(9.525)
    assert table.length("missing", 7.0) == 7.0
    assert table.length("missing", None) is None
    assert mistakes == []


@pytest.mark.parametrize("value", [9, 9.5, 0, -3])
def test_a_bare_number_is_no_length_and_units_are_offered(value: float) -> None:
    table, mistakes = fields({"width": value})

    assert table.length("width", 5.0) == 5.0
    (mistake,) = mistakes
    assert mistake.startswith(f"job.toml: width: {value} has no unit; write ")
    assert mistake.endswith(f'"{value} mm" or "{value} in" in quotes')


@pytest.mark.parametrize("value", [True, ["9 mm"], {"a": 1}, float("nan"), 10**400])
def test_what_is_no_number_either_is_one_short_mistake(value: object) -> None:
    table, mistakes = fields({"width": value})

    assert table.length("width", 5.0) == 5.0
    assert len(mistakes) == 1
    assert "in quotes" in mistakes[0]
    assert len(mistakes[0]) < 100


def test_a_length_of_nothing_is_a_mistake_where_there_must_be_some() -> None:
    table, mistakes = fields({"width": "0 mm"})

    assert table.length("width", None) == 0.0
    assert mistakes == []

    table.length("width", None, positive=True)

    assert mistakes == ['job.toml: width: "0 mm" must be more than nothing']


def test_a_list_of_lengths_keeps_how_they_were_written() -> None:
    table, mistakes = fields({"tools": ["18  mm", "1/2 in"], "one": "6 mm"})

    assert table.lengths("tools") == (("18 mm", 18.0), ("1/2 in", 12.7))
    assert table.lengths("one") == (("6 mm", 6.0),)
    assert table.lengths("none") == ()
    assert mistakes == []


def test_every_wrong_length_of_a_list_is_a_mistake() -> None:
    table, mistakes = fields({"tools": [18, "0 mm", "x", "9 mm", True], "one": 3})

    not_a_length = '"x" is not a length; write it like "3/8 in", "9.5 mm" or "1 1/2 in"'

    assert table.lengths("tools") == (("9 mm", 9.0),)
    assert table.lengths("one") == ()
    assert mistakes == [
        'job.toml: tools: 18 has no unit; write "18 mm" or "18 in" in quotes',
        'job.toml: tools: "0 mm" must be more than nothing',
        f"job.toml: tools: {not_a_length}",
        'job.toml: tools: must be a length with its unit in quotes, like "9 mm"',
        'job.toml: one: must be a list of lengths, like ["18 mm", "1/2 in"]',
    ]


def test_a_needed_length_says_how_it_is_written() -> None:
    table, mistakes = fields({})

    assert table.needed_length("width") > 0
    assert mistakes == [
        'job.toml: width: is missing; write a length with its unit, like "9 mm"'
    ]


@pytest.mark.parametrize("text", ["black cherry", "Black Cherry", " BLACK CHERRY "])
def test_a_choice_is_read_whatever_the_case(text: str) -> None:
    table, mistakes = fields({"fruit": text})

    assert table.choice("fruit", Fruit, Fruit.APPLE) is Fruit.BLACK_CHERRY
    assert mistakes == []


def test_an_unknown_choice_is_a_mistake_with_the_nearest_one() -> None:
    table, mistakes = fields({"fruit": "aple"})

    assert table.choice("fruit", Fruit, Fruit.BLACK_CHERRY) is Fruit.BLACK_CHERRY
    assert mistakes == ['job.toml: fruit: "aple" is not known; did you mean "apple"?']


@pytest.mark.parametrize("value", ["", 3, ["apple"], True])
def test_what_is_no_choice_is_one_mistake(value: object) -> None:
    table, mistakes = fields({"fruit": value})

    assert table.choice("fruit", Fruit, Fruit.APPLE) is Fruit.APPLE
    assert len(mistakes) == 1


def test_the_complaint_of_a_parser_is_kept_with_its_key() -> None:
    table, mistakes = fields({})

    assert table.parsed("width", "3 mm", parse_length) == 3.0
    assert table.parsed("width", "3 miles", parse_length) is None
    assert len(mistakes) == 1
    assert mistakes[0].startswith('job.toml: width: "3 miles" has the unit "miles"')


def test_a_table_within_says_where_it_stands() -> None:
    table, mistakes = fields({"fabric": {"cloth": 3}})

    table.table("fabric").text("cloth", "lawn")

    assert mistakes == ["job.toml: fabric: cloth: must be a text in quotes"]


def test_a_table_that_is_none_reads_as_empty() -> None:
    table, mistakes = fields({"fabric": 3})

    assert table.table("fabric").text("cloth", "lawn") == "lawn"
    assert mistakes == ["job.toml: fabric: must be a table, [fabric]"]


def test_tables_are_called_by_their_names_or_numbers() -> None:
    table, mistakes = fields({"runs": [{"name": "neck"}, {"name": 3}, {"name": " "}]})

    for one in table.tables("runs"):
        one.mistake("tape", "is missing")

    assert mistakes == [
        'job.toml: runs "neck": tape: is missing',
        "job.toml: runs number 2: tape: is missing",
        "job.toml: runs number 3: tape: is missing",
    ]


@pytest.mark.parametrize("other", ["Neck", " neck ", "NECK"])
def test_two_tables_of_one_name_are_a_mistake(other: str) -> None:
    table, mistakes = fields({"runs": [{"name": "neck"}, {"name": other}]})

    table.tables("runs")

    assert mistakes == [
        f'job.toml: runs: two are called "{other}"; give one another name'
    ]


def test_a_table_without_a_name_does_not_take_one() -> None:
    table, mistakes = fields({"runs": [{}, {"name": "None"}, {"name": "none at all"}]})

    table.tables("runs")

    assert mistakes == []


@pytest.mark.parametrize("value", [3, "x", {"name": "neck"}])
def test_one_table_where_a_list_is_meant_says_how_it_is_written(value: object) -> None:
    table, mistakes = fields({"runs": value})

    assert table.tables("runs") == []
    assert mistakes == ["job.toml: runs: must be a list of tables, [[runs]]"]


def test_a_list_of_other_things_is_a_mistake_for_each() -> None:
    table, mistakes = fields({"runs": [1, {"name": "neck"}, "x"]})

    assert len(table.tables("runs")) == 1
    assert len(mistakes) == 2


def test_every_key_that_nothing_asked_for_is_a_mistake_with_the_nearest_one() -> None:
    table, mistakes = fields({"name": "a", "naem": "b", "colour": "c"})

    table.text("name")
    table.close()

    assert mistakes == [
        'job.toml: naem: unknown key; did you mean "name"?',
        'job.toml: colour: unknown key; known: "name"',
    ]


def test_in_a_free_table_every_key_is_known() -> None:
    table, mistakes = fields({"2": "1 mm", "x": "y"})

    assert table.free_keys() == ["2", "x"]
    table.close()

    assert mistakes == []


DECLARED = (
    Key("name", Kind.TEXT, "", required=True),
    Key("cloth", Kind.TEXT, "", default="lawn"),
    Key("fruit", Kind.CHOICE, "", default=Fruit.BLACK_CHERRY),
    Key("seam", Kind.LENGTH, "", default=6.35, unit="in"),
    Key("width", Kind.LENGTH, "", positive=True),
    Key("one_way", Kind.TRUTH, "", default=True),
    Key("angle", Kind.NUMBER, "", default=30.0, most=180.0),
    Key("times", Kind.COUNT, "", default=2, most=5),
    Key("edges", Kind.EDGES, "", required=True),
    Key("ignore", Kind.SELECTORS, ""),
)


def test_a_key_that_is_not_written_has_its_declared_default() -> None:
    table, mistakes = fields({"name": "a", "edges": [1]})
    table.expect(DECLARED)

    assert table.text("cloth") == "lawn"
    assert table.choice("fruit", Fruit) is Fruit.BLACK_CHERRY
    assert table.length("seam") == 6.35
    assert table.length("width") is None
    assert table.length("width", 3.0) == 3.0
    assert table.truth("one_way") is True
    assert table.number("angle") == 30.0
    assert table.count("times") == 2
    assert table.texts("ignore") == ()
    assert mistakes == []


def test_a_mistake_has_the_declared_default_in_its_place() -> None:
    table, mistakes = fields(
        {"fruit": "pear", "seam": 3, "width": "0 mm", "angle": 181, "times": 6}
    )
    table.expect(DECLARED)

    assert table.choice("fruit", Fruit) is Fruit.BLACK_CHERRY
    assert table.length("seam") == 6.35
    assert table.length("width") is None
    assert table.number("angle") == 30.0
    assert table.number("angle", 90.0) == 30.0
    assert table.count("times") == 2
    assert len(mistakes) == 6


LIMIT = Key(
    "limit",
    Kind.NUMBER,
    "",
    required=True,
    most=40.0,
    positive=True,
    in_doubt=40.0,
    wanted="what a swatch shows",
)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({}, "is missing; write what a swatch shows"),
        ({"limit": 0}, "is 0; must be more than nothing"),
        ({"limit": 0.0}, "is 0; must be more than nothing"),
        ({"limit": 41}, "is 41; must lie between 0 and 40"),
        ({"limit": "8"}, "must be a number"),
    ],
)
def test_a_mistake_has_what_is_declared_for_doubt_in_its_place(
    data: dict[str, object], said: str
) -> None:
    table, mistakes = fields(data)
    table.expect([LIMIT])

    assert table.number("limit") == 40.0
    assert mistakes == [f"job.toml: limit: {said}"]


def test_a_number_that_need_not_be_written_is_in_no_doubt() -> None:
    table, mistakes = fields({})
    table.expect([Key("ease", Kind.NUMBER, "", default=0.0, in_doubt=40.0)])

    assert table.number("ease") == 0.0
    assert mistakes == []


def test_what_is_declared_as_required_has_to_be_there() -> None:
    table, mistakes = fields({})
    table.expect(DECLARED)

    table.text("name")
    table.words("edges")

    assert mistakes == [
        "job.toml: name: is missing; write a text in quotes",
        'job.toml: edges: is missing; write a list of edges, like [1, "neck"]',
    ]


def test_only_declared_keys_can_be_read_and_only_as_their_kind() -> None:
    table, _ = fields({"colour": "red"})
    table.expect(DECLARED)

    with pytest.raises(ValueError, match="colour is not declared as text"):
        table.text("colour")
    with pytest.raises(ValueError, match="seam is not declared as true or false"):
        table.truth("seam")
    with pytest.raises(ValueError, match="name is not declared as edge"):
        table.word("name")


def test_a_declared_key_is_known_before_anything_asks_for_it() -> None:
    table, mistakes = fields({"seam": "1 mm", "saem": "1 mm"})
    table.expect(DECLARED)

    table.close()

    assert mistakes == ['job.toml: saem: unknown key; did you mean "seam"?']
