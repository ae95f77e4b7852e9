"""The commands as a person meets them: exit codes, skeletons, schemas, a site that survives a failed build, a live preview."""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from builder import preview
from builder.build import write_drafts
from builder.cli import main
from builder.load.yamltext import read_yaml
from builder.skeleton import MODELS, PIECES, make_id, make_schema
from tests.conftest import ROOT


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, [str(word) for word in words])
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


def contents(top: Path) -> dict[str, bytes]:
    """Every file below a folder, but for what is remembered."""
    files = (path for path in sorted(top.rglob("*")) if path.is_file() and path.name != "memory.json")
    return {path.relative_to(top).as_posix(): path.read_bytes() for path in files}


def test_skeletons_pass_every_check_and_overwrite_nothing(tmp_path: Path) -> None:
    top = tmp_path / "a-museum"
    assert run("new", "museum", top, "--name", 'Museum: of "x" {y}')[0] == 0
    for name in ("European nightjar", "Ærø's bird", "no. 7"):
        assert run("-w", top, "new", "record", name)[0] == 0
    for use in ("label", "talk", "script"):
        assert run("-w", top, "new", use, "european-nightjar")[0] == 0
    assert run("-w", top, "new", "page", "european-nightjar", "--name", "second")[0] == 0
    code, said = run("-w", top, "check")
    assert code == 0 and said.startswith("0 errors, 0 warnings in 3 records"), said
    before = contents(top)
    assert run("new", "museum", top)[0] == 2
    assert run("-w", top, "new", "record", "European nightjar")[0] == 2
    for use in PIECES:
        code, said = run("-w", top, "new", use, "european-nightjar")
        assert code == 2 and f"`records/european-nightjar/{use}.md` exists already; nothing was written" in said
    assert contents(top) == before


def test_a_skeleton_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    for name, blocked in (("file", "records"), ("link", "mkdocs.yml"), ("late", "schema/record.json")):
        top = tmp_path / name
        (top / blocked).parent.mkdir(parents=True)
        if name == "link":
            (top / blocked).symlink_to(tmp_path / "nowhere")  # leads nowhere, and is somebody's all the same
        else:
            (top / blocked).write_text("mine", "utf-8")
        code, said = run("new", "museum", top)
        assert code == 2 and "exists already; nothing was written" in said
        assert [path.name for path in sorted(top.rglob("*")) if not path.is_dir()] == [Path(blocked).name]
        assert (top / blocked).is_symlink() == (name == "link") and not (tmp_path / "nowhere").exists()
    (tmp_path / "taken").write_text("mine", "utf-8")
    assert run("new", "museum", tmp_path / "taken")[0] == 2
    assert run("new", "museum", tmp_path / "taken/inner")[0] == 2
    assert (tmp_path / "taken").read_text("utf-8") == "mine"


@pytest.mark.parametrize(
    "name", ["../../x", "Ærø’s “bird”", "a" * 500, "x: {y} [z] # {{ 7 * 7 }}", "<script>", "%", "日本 2"]
)
def test_odd_names_stay_inside_and_pass(stock: Path, name: str) -> None:
    outside = contents(stock.parent)
    before = set(contents(stock / "records"))
    assert run("-w", stock, "new", "record", name)[0] == (2 if name == "%" else 0)
    assert run("-w", stock, "new", "talk", "newt", "--name", name)[0] == 0
    made = set(contents(stock / "records")) - before
    key = make_id(name)
    assert made == {f"{key}/record.yml", f"{key}/page.md", f"newt/{key}.md"} if key else {"newt/talk.md"}
    after = contents(stock.parent)
    assert {path: after[path] for path in outside} == outside and len(after) == len(outside) + len(made)
    code, said = run("-w", stock, "check")
    assert code == 0 and said.startswith("0 errors, 0 warnings in "), said


@pytest.mark.parametrize("name", ["", "///", "日本", "\u202e"])
def test_names_that_give_no_id(stock: Path, name: str) -> None:
    assert run("-w", stock, "new", "record", name)[0] == 2


@pytest.mark.parametrize("name", ["../../etc/passwd", "a" * 500, "A/B", "C:\\x", "-w"])
def test_names_never_lead_out(name: str) -> None:
    made = make_id(name)
    assert len(made) <= 80 and set(made) <= set("abcdefghijklmnopqrstuvwxyz0123456789-") and not made.startswith("-")


def test_exit_codes(stock: Path, tmp_path: Path) -> None:
    assert run("-w", stock, "check")[0] == 0
    for words in (("check",), ("build",), ("preview",), ("uses", "x"), ("weigh", "x"), ("new", "record", "x")):
        code, said = run("-w", tmp_path / "nowhere", *words)
        assert code == 2 and said.startswith("cannot run: no `mkdocs.yml`"), said
    code, said = run("-w", stock, "check", "newd")
    assert code == 2 and "did you mean `newt`" in said
    assert run("-w", stock, "nonsense")[0] == 2
    page = stock / "records/newt/page.md"
    page.write_text(page.read_text("utf-8") + "\nNewts fly.\n", "utf-8")
    for form in ("text", "json", "sarif"):
        code, said = run("-w", stock, "check", "--format", form)
        assert code == 1 and "sentence-without-claim" in said
        if form != "text":
            json.loads(said)
    plain = json.loads(run("-w", stock, "check", "--format", "json")[1])
    assert list(plain) == ["problems", "summary"]
    assert list(plain["summary"]) == ["records", "claims", "sentences", "asides", "errors", "warnings"]
    (problem,) = plain["problems"]
    assert list(problem) == ["check", "severity", "file", "line", "column", "message", "mend"]
    assert (problem["file"], problem["line"], problem["column"]) == ("records/newt/page.md", 14, 1)


def two_records(stock: Path) -> None:
    """A second record beside `newt`, with a sentence that nothing vouches for."""
    assert run("-w", stock, "new", "record", "Other")[0] == 0
    page = stock / "records/other/page.md"
    page.write_text(page.read_text("utf-8") + "\nOthers fly.\n", "utf-8")


def test_what_is_named_is_checked_and_nothing_else(stock: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    two_records(stock)
    named: tuple[tuple[str, int, str], ...] = (
        ("newt", 0, "in 1 record "),
        ("newt/", 0, "in 1 record "),
        ("records/newt", 0, "in 1 record "),
        ("records/newt/page.md", 0, "in 1 record "),
        (str(stock / "records/newt/gut.csv"), 0, "in 1 record "),
        ("other", 1, "in 1 record "),
        ("records/other/page.md", 1, "in 1 record "),
        (".", 1, "in 2 records "),
        ("records", 1, "in 2 records "),
        ("records/sources.yml", 1, "in 2 records "),
        ("records/excerpts/field-2001.txt", 1, "in 2 records "),
    )
    monkeypatch.chdir(stock)
    for path, code, counted in named:
        found, said = run("check", path)
        assert found == code and counted in said, (path, said)
    assert "in 2 records " in run("check", "newt", "other", "newt")[1]
    for path, meant in (
        ("records/newd", "`newt`"),
        ("newt.yml", ""),
        ("/nowhere/newt/x", ""),
        ("records/newt/gone.md", ""),
        ("content/index.md", ""),
    ):
        code, said = run("check", path)
        assert code == 2 and f"there is no record `{path}`" in said and meant in said, said


def test_a_file_that_is_no_text_hides_nothing_of_another_record(stock: Path) -> None:
    two_records(stock)
    (stock / "records/newt/record.yml").write_bytes(b"\xff\xfe\x00n\x00a")
    code, said = run("-w", stock, "check")
    assert code == 1 and "unreadable-file" in said and "records/newt/record.yml:1" in said
    assert "nothing vouches for “Others fly.”" in said


ODD_NAMES = (b"records/newt/caf\xe9.csv", b"records/newt/a\nb\x1b[31m.md", b"records/r\xe9/x.md", b"content/d\xe9/x.md",
             b"content/\xff.md", b"records/excerpts/\xff.txt")  # fmt: skip


def test_names_on_disk_that_are_no_text_are_named_and_stop_no_command(stock: Path) -> None:
    for name in ODD_NAMES:
        path = Path(os.fsdecode(os.fsencode(stock) + b"/" + name))
        try:
            path.parent.mkdir(exist_ok=True)
            path.write_text("# x", "utf-8")
        except OSError:
            pytest.skip("this file system holds no such name")
    code, said = run("-w", stock, "check", "--format", "json")
    assert code == 1
    found = {row["file"]: (row["check"], row["message"].split(" ")[2]) for row in json.loads(said)["problems"]}
    assert found == {
        r"content/\xFF.md": ("unreadable-file", r"`\xFF.md`"),
        r"content/d\xE9": ("unreadable-file", r"`d\xE9`"),
        r"records/excerpts/\xFF.txt": ("unreadable-file", r"`\xFF.txt`"),
        r"records/newt/a\x0Ab\x1B[31m.md": ("unreadable-file", r"`a\x0Ab\x1B[31m.md`"),
        r"records/newt/caf\xE9.csv": ("unreadable-file", r"`caf\xE9.csv`"),
        r"records/r\xE9": ("unreadable-file", r"`r\xE9`"),
    }
    for words, code in (
        (("check",), 1), (("check", "--format", "sarif"), 1), (("build",), 1), (("build", "--drafts"), 1),
        (("uses", "field-2001"), 0), (("weigh", "newt"), 0), (("new", "talk", "newt"), 0),
        (("uses", os.fsdecode(b"caf\xe9")), 2), (("check", os.fsdecode(b"records/newt/caf\xe9.csv")), 1),
    ):  # fmt: skip
        assert run("-w", stock, *words)[0] == code, words
    assert write_drafts(stock, stock / "build/preview/docs", None, today=date(2026, 11, 25))


def test_a_folder_that_cannot_be_written_is_checked_all_the_same(stock: Path) -> None:
    expected = run("-w", stock, "check")
    shutil.rmtree(stock / "build", ignore_errors=True)
    (stock / "build").write_text("in the way", "utf-8")  # the memory cannot be written, whoever asks
    assert run("-w", stock, "check") == expected
    code, said = run("-w", stock, "build")
    assert code == 2 and said.startswith("cannot run: "), said
    assert not (stock / "site").exists()


@pytest.mark.skipif(os.access("/", os.W_OK), reason="this user may write everywhere")
def test_a_read_only_folder(stock: Path) -> None:
    expected = run("-w", stock, "check", "--forget")
    stock.chmod(0o555)
    try:
        assert run("-w", stock, "check", "--forget") == expected
        assert run("-w", stock, "build")[0] == 2
    finally:
        stock.chmod(0o755)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
def test_reports_are_utf_8_whatever_the_locale(stock: Path, encoding: str) -> None:
    page = stock / "records/newt/page.md"
    page.write_text(page.read_text("utf-8") + "\nNewts “fly” ≥ 日本.\n", "utf-8")
    surroundings = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "builder", "-w", str(stock), "check", "--format", "json"],
        env=surroundings, cwd=ROOT, capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1 and "Newts “fly” ≥ 日本." in done.stdout.decode("utf-8"), done.stderr


@pytest.mark.parametrize(
    "settings",
    [
        b"\xff\xfe\x00",
        b"extra: [",
        b"extra: {vouchered: {records: ../..}}",
        b"extra: {vouchered: {records: none}}",
        b"",
    ],
)
def test_settings_that_cannot_serve(stock: Path, settings: bytes) -> None:
    (stock / "mkdocs.yml").write_bytes(settings)
    code, said = run("-w", stock, "check")
    assert code == 2 and said.startswith("cannot run: "), said


def test_explain() -> None:
    assert run("explain", "claim-without-source")[1].startswith("# claim-without-source")
    code, said = run("explain", "claim-without-sorce")
    assert code == 2 and "did you mean `claim-without-source`" in said
    assert len(run("explain")[1].splitlines()) > 40


USES = """\
source field-2001
  source survey-2020, which draws on field-2001
  newt: anatomy crest  (records/newt/record.yml:27)
  newt: anatomy teeth  (records/newt/record.yml:33)
  newt: diet gut  (records/newt/record.yml:38)
  newt: claim moths  (records/newt/record.yml:44)
  newt: claim milk  (records/newt/record.yml:54)
  newt: calculation nightly  (records/newt/record.yml:71)
    newt: label “The example newt”, its opening  (records/newt/label.md:8)  hangs at: case 4
    newt: page “What an example newt eats”, its opening  (records/newt/page.md:7)
    newt: question “Does it bite?”  (records/newt/record.yml:75)
    newt: page “What an example newt eats”, section “What the evidence shows”  (records/newt/page.md:11)
"""


def test_uses_tells_all_that_rests_on_a_thing(stock: Path) -> None:
    label = stock / "records/newt/label.md"
    text = label.read_text("utf-8")
    label.write_text(text.replace("author: a-writer\n", "author: a-writer\nhangs_at: case 4\n", 1), "utf-8")
    assert "hangs_at" in label.read_text("utf-8")
    code, said = run("-w", stock, "uses", "field-2001")
    assert (code, said) == (0, USES.replace("label.md:8", "label.md:9"))
    (plain,) = json.loads(run("-w", stock, "uses", "field-2001", "--format", "json")[1])
    assert len(plain["uses"]) == USES.count("\n") - 1
    assert {"case 4"} == {place for use in plain["uses"] for place in use["hangs_at"]}
    plain = json.loads(run("-w", stock, "uses", "newt.milk", "--format", "json")[1])
    assert plain[0]["kind"] == "claim" and any(use["kind"] == "beat" for use in plain[0]["uses"])
    assert run("-w", stock, "uses", "guess") == (0, "claim newt.guess\n  nothing rests on it\n")
    code, said = run("-w", stock, "uses", "field-2002")
    assert code == 2 and "did you mean `field-2001`" in said


@pytest.mark.parametrize("name", MODELS)
def test_schemas_are_schemas(name: str) -> None:
    schema = json.loads(make_schema(name))
    jsonschema.Draft202012Validator.check_schema(schema)


def as_json(value: Any) -> Any:
    """A tree of our loader, whose scalars are all text, as an editor sees it.

    By the core schema of YAML 1.2.2 (10.3.2), where `true` is no text and `yes` is.
    """
    if isinstance(value, dict):
        return {key: as_json(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_json(inner) for inner in value]
    if value in ("true", "false"):
        return value == "true"
    if isinstance(value, str) and re.fullmatch(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?", value):
        return json.loads(value)
    return value


def demo_files() -> list[tuple[str, Path]]:
    top = ROOT / "demo_specimens"
    found = [(name, top / f"{name}.yml") for name in ("museum", "sources", "glossary")]
    found += [("record", path) for path in sorted(top.glob("*/record.yml"))]
    return found + [("piece", path) for path in sorted(top.glob("*/*.md"))]


@pytest.mark.parametrize(
    "name, path", demo_files(), ids=lambda value: value if isinstance(value, str) else value.parent.name
)
def test_schemas_take_the_demo_and_refuse_a_slip(name: str, path: Path) -> None:
    code, printed = run("schema", name)
    assert code == 0
    text = path.read_text("utf-8")
    tree = read_yaml(text.split("---\n")[1] if name == "piece" else text)
    assert tree.faults == []
    plain: Any = as_json(tree.value)
    validator = jsonschema.Draft202012Validator(json.loads(printed))
    assert [f"{list(error.path)}: {error.message}"[:200] for error in validator.iter_errors(plain)] == []
    if name == "glossary":  # any term may be a key, but its meaning is text
        plain["nonsense"] = ["x"]
    else:
        entry = next(iter(plain.values())) if name == "sources" else plain
        entry["titel"] = entry.pop("title" if "title" in entry else "name")
    assert list(validator.iter_errors(plain))


@pytest.mark.parametrize("flag, fits", [("yes", True), ("no", True), (True, True), (False, True), ("maybe", False)])
def test_schema_takes_yes_and_no_as_yaml_1_2_reads_them(flag: object, fits: bool) -> None:
    schema = json.loads(run("schema", "museum")[1])
    found = list(jsonschema.Draft202012Validator(schema).iter_errors({"name": "Example museum", "invented": flag}))
    assert (found == []) == fits, found


def test_schema_lists_and_suggests() -> None:
    assert run("schema") == (0, "\n".join(MODELS) + "\n")
    assert run("schema", "record.yml") == run("schema", "record")
    code, said = run("schema", "recrod")
    assert code == 2 and "did you mean `record`" in said


def site_workspace(stock: Path) -> Path:
    text = (ROOT / "builder/skeleton/museum/mkdocs.yml").read_text("utf-8").replace("{name}", "Example museum")
    (stock / "mkdocs.yml").write_text(text, "utf-8")
    shutil.copy(ROOT / "builder/skeleton/museum/content/how-we-check.md", stock / "content")
    return stock


def test_the_last_good_site_survives_a_failed_build(stock: Path) -> None:
    root = site_workspace(stock)
    code, said = run("-w", root, "build")
    assert code == 0 and "2 pieces wait for a curator" in said, said
    site = root / "site"
    good = contents(site)
    assert not list(site.glob("specimens/newt*"))
    prose = root / "content/how-we-check.md"
    text = prose.read_text("utf-8")
    for bad in ("\n[gone](nowhere.md)\n", "\n[gone](glossary.md#no-such-place)\n", "\n<script>1</script>\n"):
        prose.write_text(text + bad, "utf-8")
        code, said = run("-w", root, "build")
        assert code == 1 and "the last good site stands" in said, (bad, said)
        assert contents(site) == good
    prose.write_text(text + "\nA word more.\n", "utf-8")
    assert run("-w", root, "build")[0] == 0
    assert "A word more." in (site / "how-we-check.html").read_text("utf-8")
    assert "unchanged" in run("-w", root, "build")[1]


def test_an_error_stops_a_public_build_and_shows_in_a_draft(stock: Path) -> None:
    root = site_workspace(stock)
    page = root / "records/newt/page.md"
    page.write_text(page.read_text("utf-8") + "\nNewts fly.\n", "utf-8")
    assert run("-w", root, "build")[0] == 1 and not (root / "site").exists()
    assert run("-w", root, "build", "--drafts")[0] == 1
    shown = (root / "build/drafts/site/specimens/newt.html").read_text("utf-8")
    assert "1 problem to mend" in shown and "noindex" in shown
    assert not (root / "site").exists()


def fetch(port: int, path: str) -> str:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}/{path}", timeout=5) as answer:
        return str(answer.read().decode("utf-8"))


def until(port: int, path: str, *words: str, without: str = "\0") -> bool:
    """Whether the page says all these words, and not those, within the time that a busy machine may need."""
    end = time.monotonic() + 45
    while time.monotonic() < end:
        try:
            page = fetch(port, path)
            if all(word in page for word in words) and without not in page:
                return True
        except OSError:
            pass
        time.sleep(0.2)
    return False


def free_port() -> int:
    with socket.socket() as probe:
        try:
            probe.bind(("127.0.0.1", 0))
        except OSError as fault:
            pytest.skip(f"no port can be had here: {fault}")
        return int(probe.getsockname()[1])


def test_preview_follows_changes_and_lives_through_a_broken_record(stock: Path) -> None:
    root, port = site_workspace(stock), free_port()
    stop = threading.Event()
    said: list[str] = []
    ended: list[bool] = []

    def work() -> None:
        ended.append(preview.follow(root, ["newt"], port=port, say=said.append, until=stop.is_set))

    runner = threading.Thread(target=work)
    runner.start()
    page = "specimens/newt.html"
    try:
        assert until(port, page, "What an example newt eats", "How we know"), said
        record, piece = root / "records/newt/record.yml", root / "records/newt/page.md"
        whole, text = record.read_text("utf-8"), piece.read_text("utf-8")
        record.write_text("name: [\n", "utf-8")
        assert until(port, page, "cannot be read yet", "unreadable-file"), said
        record.write_text(whole, "utf-8")
        piece.write_text(text + "\nNewts fly.\n", "utf-8")
        assert until(port, page, "How we know", "1 problem to mend", "nothing vouches for", "Newts fly."), said
        piece.write_text(text, "utf-8")
        assert until(port, page, "How we know", without="to mend"), said
        settings = root / "mkdocs.yml"
        whole = settings.read_text("utf-8")
        settings.write_text("site_name: [\n", "utf-8")  # a slip while typing stops nothing
        time.sleep(1.5)
        settings.write_text(whole.replace("site_name: Example museum", "site_name: Museum of ponds"), "utf-8")
        assert until(port, page, "Museum of ponds"), said
        assert not (root / "site").exists()
    finally:
        stop.set()
        runner.join(timeout=30)
    assert not runner.is_alive() and ended == [True]
    with pytest.raises(OSError):
        fetch(port, page)


def test_preview_says_when_its_port_is_taken(stock: Path) -> None:
    with socket.socket() as taken:
        try:
            taken.bind(("127.0.0.1", 0))
        except OSError as fault:
            pytest.skip(f"no port can be had here: {fault}")
        taken.listen()
        code, said = run("-w", site_workspace(stock), "preview", "--port", taken.getsockname()[1])
    assert code == 2 and "Is the port" in said
    assert run("-w", stock, "preview", "--port", "70000")[0] == 2
    code, said = run("-w", stock, "preview", "newd")
    assert code == 2 and "did you mean `newt`" in said


def test_preview_misses_nothing_that_is_saved_while_it_starts(stock: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written: list[bool] = []
    write: Callable[..., str] = write_drafts

    def slow(root: Path, *more: Any, **settings: Any) -> str:
        made = write(root, *more, **settings)
        if not written:
            (root / "content/index.md").write_text("# Saved meanwhile\n", "utf-8")
        written.append(True)
        return made

    monkeypatch.setattr("builder.preview.write_drafts", slow)
    monkeypatch.setattr("builder.preview.PAUSE_S", 0.01)
    rounds = iter(range(20))
    root, port = site_workspace(stock), free_port()
    assert preview.follow(root, None, port=port, say=lambda text: None, until=lambda: next(rounds, None) is None)
    assert len(written) == 2
    assert "Saved meanwhile" in (root / "build/preview/docs/index.md").read_text("utf-8")


def test_import_from_the_command_line(stock: Path, tmp_path: Path) -> None:
    library = tmp_path / "lib.bib"
    library.write_text(
        "@book{a, title={New ponds}, author={Lake, L.}, year=2020, publisher={P}}\n@article{b, title={Other}, doi={10.1234/EXAMPLE.2001.12}}\n",
        "utf-8",
    )
    before = (stock / "records/sources.yml").read_text("utf-8")
    code, said = run("-w", stock, "import", library, "--on", "2026-11-25")
    assert code == 1 and "added `lake-2020`" in said and "`field-2001` already" in said
    assert (stock / "records/sources.yml").read_text("utf-8").startswith(before)
    ideas = tmp_path / "ideas.csv"
    ideas.write_text("statement;note\nNewts dream;heard on a tour\n", "utf-8")
    assert run("-w", stock, "import", ideas)[0] == 2
    assert run("-w", stock, "import", ideas, "--into", "newt")[0] == 0
    assert "newts-dream:" in (stock / "records/newt/record.yml").read_text("utf-8")
    assert run("-w", stock, "check")[0] == 0


def test_each_command_is_told_in_one_line() -> None:
    said = run("--help")[1].split("Commands:")[1]
    assert "..." not in said and len(said.split("\n")) == len(main.commands) + 2
    assert all(len(row) <= 80 for row in said.split("\n"))


def test_what_was_written_is_followed_by_what_to_do_next(tmp_path: Path) -> None:
    top = tmp_path / "m"
    for words in (("new", "museum", top), ("-w", top, "new", "record", "Newt"), ("-w", top, "new", "label", "newt")):
        assert "\nNext: " in run(*words)[1]
    said = run("-w", top, "new", "label", "newt")[1]
    assert (
        said
        == "cannot run: `records/newt/label.md` exists already; nothing was written; name the new one with --name\n"
    )
    (tmp_path / "leads.csv").write_text("statement\nNewts swim.\n")
    assert run("-w", top, "import", tmp_path / "leads.csv", "--into", "newt")[1].endswith(
        "Next: vouchered todo, which says what each lead lacks\n"
    )
