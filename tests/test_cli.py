"""The commands as a person meets them: exit codes, skeletons, schemas, a site that survives a failed build, a live preview."""

from __future__ import annotations

import json
import shutil
import socket
import threading
import time
import urllib.request
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner

from builder.build import build
from builder.cli import main
from builder.load.yamltext import read_yaml
from builder.preview import follow
from builder.skeleton import MODELS, make_id, make_schema
from tests.conftest import ROOT, TODAY


def run(*words: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, [str(word) for word in words])
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


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
    before = {path: path.read_bytes() for path in sorted(top.rglob("*")) if path.is_file()}
    assert run("new", "museum", top)[0] == 2
    assert run("-w", top, "new", "record", "European nightjar")[0] == 2
    assert run("-w", top, "new", "label", "european-nightjar")[0] == 2
    assert {path: path.read_bytes() for path in sorted(top.rglob("*")) if path.is_file()} == before


@pytest.mark.parametrize("name", ["", "///", "日本", "\u202e"])
def test_names_that_give_no_id(stock: Path, name: str) -> None:
    assert run("-w", stock, "new", "record", name)[0] == 2


@pytest.mark.parametrize("name", ["../../etc/passwd", "a" * 500, "A/B", "C:\\x", "-w"])
def test_names_never_lead_out(name: str) -> None:
    made = make_id(name)
    assert len(made) <= 80 and set(made) <= set("abcdefghijklmnopqrstuvwxyz0123456789-") and not made.startswith("-")


def test_exit_codes(stock: Path, tmp_path: Path) -> None:
    assert run("-w", stock, "check")[0] == 0
    assert run("-w", stock, "check", "records/newt/page.md")[0] == 0
    assert run("-w", tmp_path / "nowhere", "check")[0] == 2
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


def test_explain_and_uses(stock: Path) -> None:
    assert run("explain", "claim-without-source")[1].startswith("# claim-without-source")
    assert "did you mean" in run("explain", "claim-without-sorce")[1]
    assert len(run("explain")[1].splitlines()) > 40
    code, said = run("-w", stock, "uses", "field-2001")
    assert code == 0
    for words in (
        "source field-2001",
        "claim moths",
        "claim milk",
        "diet gut",
        "page “What an example newt eats”",
        "source survey-2020, which draws on field-2001",
    ):
        assert words in said, words
    plain = json.loads(run("-w", stock, "uses", "newt.milk", "--format", "json")[1])
    assert plain[0]["kind"] == "claim" and any(use["kind"] == "beat" for use in plain[0]["uses"])
    assert run("-w", stock, "uses", "field-2002")[0] == 2


@pytest.mark.parametrize("name", MODELS)
def test_schemas_are_schemas(name: str) -> None:
    schema = json.loads(make_schema(name))
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize(
    "name, path",
    [
        ("museum", "museum.yml"),
        ("sources", "sources.yml"),
        ("glossary", "glossary.yml"),
        ("record", "european-nightjar/record.yml"),
        ("record", "ostrich/record.yml"),
    ],
)
def test_schemas_take_the_demo_and_refuse_a_slip(name: str, path: str) -> None:
    import yaml

    schema = json.loads(make_schema(name))
    text = (ROOT / "demo_specimens" / path).read_text("utf-8")
    plain = json.loads(json.dumps(yaml.safe_load(text), default=str))
    validator = jsonschema.Draft202012Validator(schema)
    assert [f"{list(error.path)}: {error.message}"[:200] for error in validator.iter_errors(plain)] == []
    assert read_yaml(text).faults == []
    if name != "glossary":
        target = plain if name != "sources" else next(iter(plain.values()))
        target["nonsense"] = "x"
        assert list(validator.iter_errors(plain))


def site_workspace(stock: Path) -> Path:
    text = (ROOT / "builder/skeleton/museum/mkdocs.yml").read_text("utf-8").replace("{name}", "Example museum")
    (stock / "mkdocs.yml").write_text(text, "utf-8")
    shutil.copy(ROOT / "builder/skeleton/museum/content/how-we-check.md", stock / "content")
    return stock


def test_the_last_good_site_survives_a_failed_build(stock: Path) -> None:
    root = site_workspace(stock)
    code, said = run("-w", root, "build")
    assert code == 0 and "2 pieces wait for a curator's approval" in said, said
    site = root / "site"
    good = {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}
    assert not list(site.glob("specimens/newt*"))
    prose = root / "content/how-we-check.md"
    text = prose.read_text("utf-8")
    for bad in ("\n[gone](nowhere.md)\n", "\n[gone](glossary.md#no-such-place)\n", "\n<script>1</script>\n"):
        prose.write_text(text + bad, "utf-8")
        code, said = run("-w", root, "build")
        assert code == 1 and "the last good site stands" in said, (bad, said)
        assert {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()} == good
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


def until(port: int, path: str, words: str) -> bool:
    end = time.monotonic() + 45
    while time.monotonic() < end:
        try:
            if words in fetch(port, path):
                return True
        except OSError:
            pass
        time.sleep(0.3)
    return False


def test_preview_follows_changes_and_lives_through_a_broken_record(stock: Path) -> None:
    root = site_workspace(stock)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    stop = threading.Event()
    said: list[str] = []
    runner = threading.Thread(
        target=follow, args=(root, ["newt"]), kwargs={"port": port, "say": said.append, "until": stop.is_set}
    )
    runner.start()
    try:
        assert until(port, "specimens/newt.html", "What an example newt eats"), said
        record = root / "records/newt/record.yml"
        whole = record.read_text("utf-8")
        record.write_text("name: [\n", "utf-8")
        assert until(port, "specimens/newt.html", "cannot be read yet"), said
        record.write_text(whole, "utf-8")
        assert until(port, "specimens/newt.html", "How we know"), said
        assert not (root / "site").exists()
    finally:
        stop.set()
        runner.join(timeout=20)
    assert not runner.is_alive()


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
    assert build is not None and TODAY is not None
