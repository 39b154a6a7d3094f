"""The JSON Schema of a schedule, put together from what schedules hold.

What a key means is said once, in the tables of ``docs/commands.md``; which values it
has is seen in schedules that between them hold every record. Run as a script, this
module writes ``docs/schedule.schema.json`` anew.
"""

import json
import os
import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Final

from doc_examples import DOCS, call

from edgefinder.classifier.job import Finish, Grain, TapeFold
from edgefinder.curvature.verdict import Verdict
from edgefinder.findings import Severity
from edgefinder.yardage.cutting import Method

PATH: Final = DOCS / "schedule.schema.json"
DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
WORDS: Final[Mapping[str, type[StrEnum]]] = {
    "finish": Finish,
    "fold": TapeFold,
    "grain": Grain,
    "least_waste": Method,
    "method": Method,
    "severity": Severity,
    "verdict": Verdict,
}
"""Keys whose texts are one of a few words, wherever they stand."""

LINES_OF_DXF: Final = ('"class:cut"', '"layer:Size ?", "layer:Size XL"')
PACKETS: Final = """
[[tapes]]
name = "packets"
finished_width = "3/8 in"
grain = "crosswise"
packet_length = "3 yd"
"""
CLOTH: Final = """
widths = ["44-45 in", "2 cm"]
price = "9.90 EUR per m"
from = "20 x 70 cm"
scrap = ["20 x 50 cm"]
"""
OWN_RUNS: Final = "bound = [1, 3]\n"
AVOIDS: Final = """
avoid_joins_at = ["0 cm"]
avoid_joins_within = "3 cm"
"""

_CODE: Final = re.compile(r"`([^`]+)`")
_LINK: Final = re.compile(r"\[([^]]+)\]\([^)]+\)")
_MENTION: Final = re.compile(r"^(`\w+`(, `\w+`)*( and `\w+`)?( only)?: )+")

Seen = list[object]


def changed_jobs() -> Iterator[str]:
    """Write job files beside those of the demo that between them ask for everything."""
    apron = Path("orchard-apron.toml").read_text("utf-8")
    armholes = 'name = "armholes"\ntape = "main"'
    smock = Path("puddle-smock.toml").read_text("utf-8")
    cloth, closed = 'strip_seam = "6 mm"\n', "closed = true\n"
    pocket = 'name = "pocket"\n'
    opening = apron[apron.index('[[runs]]\nname = "pocket opening"') :]
    for name, text in (
        (
            "narrow.toml",
            (apron + PACKETS)
            .replace(armholes, armholes.replace("main", "packets"))
            .replace('"42 in"', '"12 in"'),
        ),
        ("own.toml", apron.replace(opening, "").replace(pocket, pocket + OWN_RUNS)),
        ("cloth.toml", smock.replace(cloth, cloth + CLOTH)),
        ("avoids.toml", smock.replace(closed, closed + AVOIDS)),
    ):
        Path(name).write_text(text, "utf-8")
        yield name


def schedules(*, drawing: str) -> list[dict[str, object]]:
    """Make the demo's schedules, and others, from its drawings of one kind.

    Parameters
    ----------
    drawing : str
        The ending of their names, ``svg`` or ``dxf``.
    """
    home = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            call(["demo"])
            os.chdir("edgefinder-demo")
            for job in Path().glob("*.toml"):
                text = job.read_text("utf-8")
                if drawing == "dxf":
                    text = text.replace(".svg", ".dxf").replace(*LINES_OF_DXF)
                job.write_text(text, "utf-8")
            names = ["orchard-apron.toml", "puddle-smock.toml", *changed_jobs()]
            found = []
            for name in names:
                code, output = call(["--quiet", "schedule", name, "--json"])
                if code != 0:
                    raise ValueError(f"{name}: {output}")
                found.append(json.loads(output))
            return found
        finally:
            os.chdir(home)


def meanings() -> Mapping[tuple[str, str], str]:
    """Return what the page of commands says of each key, by the place of its record."""
    text = (DOCS / "commands.md").read_text("utf-8").split("\n## JSON\n")[1]
    found: dict[tuple[str, str], str] = {}
    for part in text.split("\n## ")[0].split("\n### ")[1:]:
        where = " ".join(part.split("Where: ", 1)[1].split("\n\n", 1)[0].split())
        places = [_place(place) for place in where.split("; ")]
        for line in part.splitlines():
            if line.startswith("| `"):
                keys, meaning = line.strip("| ").split(" | ", 1)
                for key in _CODE.findall(keys):
                    for place in filter(lambda p: p is not None, places):
                        found[str(place), key] = _LINK.sub(r"\1", meaning)
    return found


def _place(said: str) -> str | None:
    """Return the path that is said of a schedule; None for that of another command."""
    command, _, path = said.partition(": ")
    if command not in {"all", "`schedule`"}:
        return None
    return "" if path == "the object itself" else path.strip("`")


def schema_of(every: Sequence[Mapping[str, object]]) -> dict[str, object]:
    """Put the schema together from schedules."""
    told = meanings()
    schema = {
        "$schema": DRAFT,
        "title": "edgefinder.schedule",
        "description": "What `edgefinder schedule JOB --json` prints, version 1. A "
        "new key may come with any version of edgefinder.",
        **_described(list(every), "", told),
    }
    properties = schema["properties"]
    assert isinstance(properties, dict)
    kind = properties["schema"]["properties"]
    kind["name"]["const"], kind["version"]["const"] = "edgefinder.schedule", 1
    return schema


def _described(
    seen: Seen, at: str, told: Mapping[tuple[str, str], str]
) -> dict[str, object]:
    """Describe the values that were seen at a place."""
    kinds = {_kind(value) for value in seen}
    if "number" in kinds:
        kinds.discard("integer")
    found: dict[str, object] = {
        "type": sorted(kinds) if len(kinds) != 1 else kinds.pop()
    }
    records = [value for value in seen if isinstance(value, dict)]
    if records:
        keys = list(dict.fromkeys(key for record in records for key in record))
        found["properties"] = {key: _property(records, key, at, told) for key in keys}
        found["required"] = [k for k in keys if all(k in record for record in records)]
    inner = [one for value in seen if isinstance(value, list) for one in value]
    if inner:
        found["items"] = _described(inner, f"{at}[]", told)
    return found


def _property(
    records: Sequence[Mapping[str, object]],
    key: str,
    at: str,
    told: Mapping[tuple[str, str], str],
) -> dict[str, object]:
    values = [record[key] for record in records if key in record]
    meaning = told[at, key]
    if "`null`" in meaning:
        values.append(None)
    found = _described(values, f"{at}.{key}".lstrip("."), told)
    if key in WORDS and any(isinstance(value, str) for value in values):
        words = [str(word) for word in WORDS[key]]
        found["enum"] = [*words, None] if None in values else words
    return {"description": _plain(meaning), **found}


def _plain(meaning: str) -> str:
    return _MENTION.sub("", meaning).replace("`", "")


def _kind(value: object) -> str:
    kinds = {
        type(None): "null",
        bool: "boolean",
        int: "integer",
        float: "number",
        str: "string",
        list: "array",
        dict: "object",
    }
    return kinds[type(value)]


def written() -> str:
    """Return the schema as it stands in the documents."""
    schema = schema_of(schedules(drawing="svg"))
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    PATH.write_text(written(), "utf-8")
