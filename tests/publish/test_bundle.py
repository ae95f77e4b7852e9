"""Bundles: an RO-Crate that a validator and a reader of the standard accept, whole, and the same each time."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import shutil
import zipfile
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import copy_demo
from tests.test_cli import run

PIECE = "european-nightjar/page"
ON = ("--on", "2026-11-25")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with two records, so that the others need not be walked."""
    root = copy_demo(tmp_path_factory.mktemp("bundle"))
    for folder in (root / "demo_specimens").iterdir():
        if folder.is_dir() and folder.name not in ("european-nightjar", "ostrich"):
            shutil.rmtree(folder)
    return root


@pytest.fixture(scope="module")
def page(demo: Path) -> Path:
    code, said = run("-w", demo, "bundle", PIECE, "-o", demo / "page.zip", *ON)
    assert code == 0 and "approved, 2026-" in said, said
    return demo / "page.zip"


def contents(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as folder:
        assert folder.testzip() is None
        return {name: folder.read(name) for name in folder.namelist()}


def faults_of(crate: Path, monkeypatch: pytest.MonkeyPatch, cache: Path) -> list[str]:
    """What roc-validator has against a crate, by its profile of RO-Crate 1.2, at the grade REQUIRED.

    The validator brings its rules along but asks for the JSON-LD context of the specification over the network. A test
    asks no host: it is handed the context that comes with the library `rocrate`, which is that of RO-Crate 1.3.
    """
    import requests
    import rocrate
    import urllib3
    from rocrate_validator import models, services

    context = (Path(rocrate.__file__).parent / "data/ro-crate.jsonld").read_bytes()

    def send(self: Any, request: Any, **settings: Any) -> Any:
        if not request.url.startswith("https://w3id.org/ro/crate/1.2/context"):
            raise requests.ConnectionError(request.url)
        made = requests.Response()
        made.status_code, made.url, made.request = 200, request.url, request
        kind = {"Content-Type": "application/ld+json"}
        made.headers.update(kind)
        made.raw = urllib3.HTTPResponse(body=io.BytesIO(context), headers=kind, status=200, preload_content=False)
        return made

    monkeypatch.setattr(requests.adapters.HTTPAdapter, "send", send)
    settings = services.ValidationSettings(
        rocrate_uri=str(crate),
        profile_identifier="ro-crate-1.2",
        requirement_severity=models.Severity.REQUIRED,
        cache_path=cache / "http",
    )
    return [issue.message for issue in services.validate(settings).get_issues()]


def test_the_validator_accepts_it_and_rejects_a_spoilt_one(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert faults_of(page, monkeypatch, tmp_path) == []
    files = contents(page)
    crate = json.loads(files["ro-crate-metadata.json"])
    root = next(entity for entity in crate["@graph"] if entity["@id"] == "./")
    terms = next(entity for entity in crate["@graph"] if entity["@id"] == root["license"]["@id"])
    assert terms["@id"] == "https://creativecommons.org/licenses/by/4.0/" and terms["name"] == "CC-BY-4.0"
    del root["datePublished"], root["license"]
    spoilt = tmp_path / "spoilt.zip"
    with zipfile.ZipFile(spoilt, "w") as folder:
        for name, data in {**files, "ro-crate-metadata.json": json.dumps(crate).encode()}.items():
            folder.writestr(name, data)
    assert any("datePublished" in said for said in faults_of(spoilt, monkeypatch, tmp_path))


def test_a_reader_of_the_standard_finds_every_file(page: Path) -> None:
    """Read by `rocrate`, the Python library of the standard's community."""
    from rocrate.rocrate import ROCrate

    crate = ROCrate(str(page))
    files = contents(page)
    listed = {entity.id for entity in crate.data_entities}
    assert listed == set(files) - {"ro-crate-metadata.json"}
    assert crate.metadata["conformsTo"] in ("https://w3id.org/ro/crate/1.2", crate.get("https://w3id.org/ro/crate/1.2"))
    for entity in crate.data_entities:
        assert entity["sha256"] == hashlib.sha256(files[entity.id]).hexdigest()
    assert crate.root_dataset["about"]["name"] == "Caprimulgus europaeus"
    assert crate.root_dataset["contributor"]["jobTitle"] == "curator of birds"
    assert crate.root_dataset["creativeWorkStatus"] == "Approved"
    assert any(work.id.startswith("https://doi.org/") for work in crate.root_dataset["citation"])


def test_it_holds_what_was_signed(page: Path, demo: Path) -> None:
    files = contents(page)
    marks = json.loads(files["fingerprints.json"])
    approvals = [data for name, data in files.items() if name.startswith("approvals/")]
    assert approvals and all(f"\nfingerprint: {marks['document']}\n".encode() in data for data in approvals)
    for name, data in files.items():
        if name.startswith("approvals/"):
            assert data == (demo / "demo_specimens/european-nightjar" / name).read_bytes()
    listed = {row["path"]: row for row in json.loads(files["manifest.json"])["files"]}
    for path, row in listed.items():
        assert (row["bytes"], row["sha256"]) == (len(files[path]), hashlib.sha256(files[path]).hexdigest())
    items = json.loads(files["sources.json"])
    assert {"id", "type", "title"} <= set(items[0]) and any("date-parts" in item.get("issued", {}) for item in items)
    assert files["piece/european-nightjar.pdf"].startswith(b"%PDF") and b"invented museum" in files["README.txt"]


def test_of_a_table_only_the_columns_that_are_read_go_out(demo: Path, tmp_path: Path) -> None:
    root = Path(shutil.copytree(demo, tmp_path / "own"))
    table = root / "demo_specimens/european-nightjar/gut.csv"
    rows = table.read_text("utf-8").splitlines()
    said = [rows[0] + ",remark", *(row + ",a private remark" for row in rows[1:])]
    table.write_text("\n".join(said) + "\n", "utf-8")
    code, told = run("-w", root, "bundle", PIECE, "-o", root / "x.zip", "--draft", *ON)
    assert code == 0, told
    files = contents(root / "x.zip")
    made = list(csv.reader(io.StringIO(files["tables/gut.csv"].decode())))
    assert "remark" not in made[0] and "sample" in made[0] and "year" in made[0] and len(made) == len(rows)
    assert not any(b"a private remark" in data for data in files.values())


def test_the_same_piece_makes_the_same_bytes(page: Path, demo: Path) -> None:
    code, _ = run("-w", demo, "bundle", PIECE, "-o", demo / "again.zip", *ON)
    assert code == 0 and (demo / "again.zip").read_bytes() == page.read_bytes()
    with zipfile.ZipFile(page) as folder:
        entries = folder.infolist()
    assert [entry.filename for entry in entries] == sorted(entry.filename for entry in entries)
    assert {(entry.date_time, entry.create_system) for entry in entries} == {((1980, 1, 1, 0, 0, 0), 3)}


@pytest.mark.parametrize("piece", ["label", "talk", "script"])
def test_every_use_can_be_packed(demo: Path, piece: str) -> None:
    target = demo / f"{piece}.zip"
    code, said = run("-w", demo, "bundle", f"european-nightjar/{piece}", "-o", target, *ON)
    assert code == 0, said
    names = contents(target)
    assert any(name.startswith("piece/") and name.endswith(".pdf") for name in names)
    assert not any("shots" in name or "prompter" in name for name in names), "those are for staff"
    assert ("piece/european-nightjar--script--captions.vtt" in names) == (piece == "script")


def test_what_nobody_signed_is_refused_or_marked(stock: Path, tmp_path: Path) -> None:
    target = tmp_path / "x.zip"
    code, said = run("-w", stock, "bundle", "newt/page", "-o", target)
    assert code == 1 and "not packed" in said and not target.exists()
    code, said = run("-w", stock, "bundle", "newt/page", "-o", target, "--draft", *ON)
    assert code == 0 and "a draft" in said
    files = contents(target)
    assert files["README.txt"].startswith(b"DRAFT") and not any(name.startswith("approvals/") for name in files)
    graph = {entity["@id"]: entity for entity in json.loads(files["ro-crate-metadata.json"])["@graph"]}
    assert graph["./"]["creativeWorkStatus"] == "Draft" and graph["./"]["name"].startswith("Draft: ")
    assert "contributor" not in graph["./"] and graph["./"]["datePublished"] == "2026-11-25"


@pytest.mark.parametrize("words", ["Room 7, bay 21, tray 4", "Percival Thistlewick", "51.2345, -1.2345"])
def test_what_is_withheld_stops_it(stock: Path, tmp_path: Path, words: str) -> None:
    label = stock / "records/newt/label.md"
    label.write_text(label.read_text("utf-8") + f"\nIt came from {words}.[^aside]\n", "utf-8")
    target = tmp_path / "x.zip"
    target.write_bytes(b"PK\3\4 an older one")
    code, said = run("-w", stock, "bundle", "newt/label", "-o", target, "--draft", *ON)
    assert code == 1 and "nothing was written" in said and "withheld" in said
    assert target.read_bytes() == b"PK\3\4 an older one"


@pytest.mark.parametrize(
    "words, told",
    [
        (("newt/pag", "--draft"), "page"),
        (("nowt/page", "--draft"), "newt"),
        (("newt/page", "--draft", "-o", "site/x.zip"), "may become public"),
        (("newt/page", "--draft", "-o", "records/museum.yml"), "may become public"),
        (("newt/page", "--draft", "-o", "notes.txt"), "no zip file"),
    ],
)
def test_bad_input_is_told_and_harms_nothing(
    stock: Path, words: tuple[str, ...], told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(stock)
    (stock / "notes.txt").write_text("my notes", "utf-8")
    before = (stock / "records/museum.yml").read_bytes()
    code, said = run("bundle", *words)
    assert code == 2 and told in said, said
    assert (stock / "notes.txt").read_text("utf-8") == "my notes"
    assert (stock / "records/museum.yml").read_bytes() == before and not (stock / "site").exists()
