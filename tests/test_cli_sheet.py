"""``edgefinder schedule --html`` as it is typed."""

from pathlib import Path

from command_line import APRON, refused, run, usage_error


def test_it_writes_one_page_and_prints_nothing(tmp_path: Path) -> None:
    out = tmp_path / "apron.html"

    said = run("schedule", APRON, "--size", "M", "--html", out)

    assert (said.exit_code, said.out) == (0, "")
    assert f"wrote {out}" in said.err
    text = out.read_text("utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert ">Size M</h2>" in text
    assert ">Size S</h2>" not in text


def test_only_one_kind_of_output_is_written_at_a_time(tmp_path: Path) -> None:
    out = tmp_path / "apron.html"

    assert "--html" in usage_error("schedule", APRON, "--json", "--html", out)
    assert "--html" in usage_error("schedule", APRON, "--csv", tmp_path, "--html", out)


def test_it_writes_over_its_own_page_but_over_no_other_file(tmp_path: Path) -> None:
    out = tmp_path / "apron.html"
    assert run("schedule", APRON, "--html", out).exit_code == 0
    assert run("schedule", APRON, "--size", "S", "--html", out).exit_code == 0

    out.write_text("<p>a letter</p>", encoding="utf-8")

    assert "pass --force" in refused("schedule", APRON, "--html", out)[0]
    assert out.read_text("utf-8") == "<p>a letter</p>"


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    out = tmp_path / "nowhere" / "apron.html"

    assert "cannot be written" in refused("schedule", APRON, "--html", out)[0]


def test_csv_files_begin_with_a_byte_order_mark_on_request(tmp_path: Path) -> None:
    assert run("schedule", APRON, "--csv", tmp_path / "plain").exit_code == 0
    assert run("schedule", APRON, "--csv", tmp_path / "marked", "--bom").exit_code == 0

    for path in (tmp_path / "plain").iterdir():
        marked = (tmp_path / "marked" / path.name).read_bytes()
        assert marked == b"\xef\xbb\xbf" + path.read_bytes()
    # One kind takes the place of the other.
    assert run("schedule", APRON, "--csv", tmp_path / "plain", "--bom").exit_code == 0
    assert run("schedule", APRON, "--csv", tmp_path / "marked").exit_code == 0
    assert "--bom" in usage_error("schedule", APRON, "--bom")
