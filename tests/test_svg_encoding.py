import codecs
import gzip

import pytest

from edgefinder.errors import DrawingError
from edgefinder.importers.svg.encoding import for_expat
from edgefinder.importers.svg.xml import parse_document

SVG = 'xmlns="http://www.w3.org/2000/svg"'
WESTERN = "\u00c4rmel \u00e9t\u00e9"
JAPANESE = "\u524d\u8eab\u9803 \u8896"
CHINESE = "\u524d\u7247"


def title_of(data: bytes) -> str:
    return next(parse_document(data, "a.svg").root.children).text


def drawing(title: str, declared: str | None) -> str:
    says = "" if declared is None else f' encoding="{declared}"'
    return f'<?xml version="1.0"{says}?>\n<svg {SVG}><title>{title}</title></svg>'


@pytest.mark.parametrize(
    ("title", "encoding", "declared"),
    [
        (WESTERN, "utf-8", None),
        (WESTERN, "utf-8", "UTF-8"),
        (WESTERN, "utf-8", "utf8"),
        (WESTERN, "latin-1", "ISO-8859-1"),
        (WESTERN, "latin-1", "latin1"),
        (WESTERN, "cp1252", "windows-1252"),
        ("\u20ac \u0161", "cp1252", "Windows-1252"),
        ("\u20ac", "iso8859-15", "ISO-8859-15"),
        ("\u0142\u00f3d\u017a", "cp1250", "windows-1250"),
        ("\u0444", "koi8-r", "KOI8-R"),
        ("\u0444", "cp1251", "windows-1251"),
        (WESTERN, "mac-roman", "macintosh"),
        (WESTERN, "cp437", "IBM437"),
        (JAPANESE, "shift_jis", "Shift_JIS"),
        (JAPANESE, "shift_jis", "x-sjis"),
        ("\u2460 \u9ad9", "cp932", "Shift_JIS"),
        (JAPANESE, "cp932", "windows-31j"),
        (JAPANESE, "euc_jp", "EUC-JP"),
        (JAPANESE, "iso2022_jp", "ISO-2022-JP"),
        (CHINESE, "gbk", "GBK"),
        (CHINESE, "gb2312", "GB2312"),
        (CHINESE, "gb18030", "gb18030"),
        (CHINESE, "big5", "Big5"),
        ("\uc55e\ud310", "euc_kr", "EUC-KR"),
        ("\u0e2b", "tis-620", "TIS-620"),
    ],
)
def test_declared_encodings_are_read(title: str, encoding: str, declared: str) -> None:
    assert title_of(drawing(title, declared).encode(encoding)) == title


@pytest.mark.parametrize("title", [WESTERN, JAPANESE])
@pytest.mark.parametrize("declared", [None, "UTF-8", "UTF-16", "Shift_JIS", "utf-32"])
@pytest.mark.parametrize(
    ("mark", "encoding"),
    [
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (codecs.BOM_UTF32_LE, "utf-32-le"),
        (codecs.BOM_UTF32_BE, "utf-32-be"),
    ],
)
def test_a_byte_order_mark_is_right_whatever_the_text_says(
    mark: bytes, encoding: str, declared: str | None, title: str
) -> None:
    assert title_of(mark + drawing(title, declared).encode(encoding)) == title


@pytest.mark.parametrize(
    "encoding", ["utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"]
)
def test_wide_texts_are_known_without_a_mark(encoding: str) -> None:
    assert title_of(drawing(JAPANESE, "UTF-16").encode(encoding)) == JAPANESE


@pytest.mark.parametrize("declared", ["UTF-16", "utf-16le", "UCS-2", "UTF-32"])
def test_a_text_that_can_be_read_byte_by_byte_is_not_wide(declared: str) -> None:
    assert title_of(drawing(JAPANESE, declared).encode("utf-8")) == JAPANESE


def test_a_compressed_text_has_its_encoding_too() -> None:
    packed = gzip.compress(drawing(JAPANESE, "Shift_JIS").encode("cp932"))

    assert title_of(packed) == JAPANESE


def test_lines_are_counted_in_every_encoding() -> None:
    text = drawing(JAPANESE, "UTF-16") + "\n<"

    with pytest.raises(DrawingError, match=r"a\.svg: line 3: "):
        parse_document(text.encode("utf-16"), "a.svg")


@pytest.mark.parametrize(
    "declared",
    ["rot13", "zlib", "hex", "idna", "punycode", "unicode_escape", "utf-7", "klingon"],
)
def test_codecs_that_are_no_encodings_of_text_are_refused(declared: str) -> None:
    with pytest.raises(DrawingError) as caught:
        parse_document(drawing("a", declared).encode(), "a.svg")

    (message,) = caught.value.messages
    assert "has an encoding that cannot be read" in message
    assert "save the drawing as UTF-8" in message


@pytest.mark.parametrize(
    ("data", "declared"), [(b"\x81", "Shift_JIS"), (b"\xff\xff", "EUC-JP")]
)
def test_bytes_that_are_not_in_the_encoding_that_is_named_are_refused(
    data: bytes, declared: str
) -> None:
    before, after = drawing("@", declared).encode().split(b"@")

    with pytest.raises(DrawingError, match="has an encoding that cannot be read"):
        parse_document(before + data + after, "a.svg")


@pytest.mark.parametrize(
    "data", [b"<svg/>", b"<?xml version='1.0'?><svg/>", b"", b"not xml"]
)
def test_a_text_that_says_nothing_is_left_as_it_is(data: bytes) -> None:
    assert for_expat(data) == (data, None)
