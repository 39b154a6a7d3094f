import pytest

from edgefinder.pattern.text_hints import TextHints, read_hints


@pytest.mark.parametrize(
    ("texts", "hints"),
    [
        ((), TextHints(None, None, None)),
        (
            ("Front bodice", "Size M", "cut 1 on fold"),
            TextHints("Front bodice", "M", "cut 1 on fold"),
        ),
        (("cut 2", "size: 10/12", "Sleeve"), TextHints("Sleeve", "10/12", "cut 2")),
        (("Cut 1 pair", "1: Back"), TextHints("1: Back", None, "Cut 1 pair")),
        (("2 x", "Strap"), TextHints("Strap", None, "2 x")),
        (("Cutaway collar",), TextHints("Cutaway collar", None, None)),
        (("Size S", "Size M"), TextHints(None, None, None)),
        (("Sizes S - XL", "Yoke"), TextHints("Yoke", None, None)),
        (("Size 8 to 16", "Yoke"), TextHints("Yoke", None, None)),
        (("place on fold", "GRAIN", "CF", "Cuff"), TextHints("Cuff", None, None)),
        (("10 mm", "3/8 in", "100 %", "A", "Cuff"), TextHints("Cuff", None, None)),
        (("seam allowance included", "Cuff"), TextHints("Cuff", None, None)),
        (("test square 5 cm", "Cuff"), TextHints("Cuff", None, None)),
        (
            ("Sew with right sides together, then turn and press", "Cuff"),
            TextHints("Cuff", None, None),
        ),
        (("  Front \t panel ",), TextHints("Front panel", None, None)),
        (
            ("cut 2", "Round bottom of the large bag, with its lining"),
            TextHints("Round bottom of the large bag, with its lining", None, "cut 2"),
        ),
        (
            (
                "Sew with right sides together, then turn and press",
                "Clip along the curve before that, and press it open",
            ),
            TextHints(None, None, None),
        ),
    ],
)
def test_texts_give_the_name_the_size_and_the_quantity(
    texts: tuple[str, ...], hints: TextHints
) -> None:
    assert read_hints(texts) == hints


@pytest.mark.parametrize(
    "text",
    [
        "cut 2",
        "Cut 1 on fold",
        "CUT TWO ON THE FOLD",
        "cut on fold",
        "cut a pair in lining",
        "cut 1 pair",
        "make 4",
        "4 pieces",
        "Quantity: 2",
        "cut 1 pair in main fabric, and cut 1 pair in lining fabric",
    ],
)
def test_a_quantity_is_no_name(text: str) -> None:
    assert read_hints([text]) == TextHints(None, None, text)


def test_long_texts_of_signs_are_read_at_once() -> None:
    texts = ["cut " * 20_000, "(" * 100_000, "size " * 20_000, "1 x " * 20_000]

    assert read_hints(texts).name is None
