"""The files of a script: what the texts say, what the sheets say read back, and nothing withheld in any of them."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest
from click.testing import CliRunner

from builder.check.wording.retelling import beliefs_of, tells
from builder.cli import main
from builder.compose.caution import DEFERRAL
from builder.compose.running import time_beats
from builder.compose.script import compose_script
from builder.load.captions import read_captions
from builder.render.printed import PrintJob, print_script
from builder.render.script import language_name, say_aloud, transcript_text
from builder.render.scriptfiles import STAFF_FILES, TITLES
from builder.resolve.sieve import Sieve
from builder.resolve.withheld import shown_points, withheld_values
from builder.road import Road
from tests.conftest import ROOT, TODAY

GOLDEN = Path(__file__).parent.parent / "golden/script"
TEXTS = (
    "captions.vtt",
    "captions.srt",
    "chapters.vtt",
    "metadata.vtt",
    "transcript.txt",
    "description.txt",
    "prompter.txt",
)
RECORDS = ("common-vampire-bat", "european-nightjar")


def files_of(road: Road, record: str, *, draft: bool = True) -> dict[str, bytes]:
    document = road.documents(record)["script"]
    entries = {source["id"]: road.entries.entry(source["fields"]) for source in document["sources"]}
    return print_script(PrintJob(document, road.shared.museum, draft, entries=entries))


@pytest.fixture(scope="module")
def demo() -> dict[str, dict[str, bytes]]:
    road = Road(ROOT, today=TODAY, remember=False)
    return {record: files_of(road, record) for record in RECORDS}


@pytest.fixture
def newt(stock: Path) -> Road:
    (stock / "records/newt/script.md").write_bytes((GOLDEN / "script.md").read_bytes())
    return Road(stock, today=TODAY, remember=False)


@pytest.mark.parametrize("name", TEXTS)
def test_the_texts_of_the_stock(newt: Road, name: str, request: pytest.FixtureRequest) -> None:
    text = files_of(newt, "newt")[name].decode()
    if request.config.getoption("--accept"):
        (GOLDEN / name).write_text(text, "utf-8")
    assert text == (GOLDEN / name).read_text("utf-8")


def words_of(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages).split())


def test_every_file_has_a_title_and_staff_files_are_told_apart(demo: dict[str, dict[str, bytes]]) -> None:
    for files in demo.values():
        assert set(files) == set(TITLES) and set(files) > STAFF_FILES == {"shots.pdf", "prompter.txt"}


def test_the_same_script_gives_the_same_bytes(demo: dict[str, dict[str, bytes]]) -> None:
    assert files_of(Road(ROOT, today=TODAY, remember=False), RECORDS[0]) == demo[RECORDS[0]]


def test_no_file_holds_what_is_withheld(demo: dict[str, dict[str, bytes]]) -> None:
    road = Road(ROOT, today=TODAY, remember=False)
    step = road.library.rules.coordinate_step
    records = {name: road.fetch(name).record for name in road.workspace.folders}  # type: ignore[union-attr]
    kept = [
        value
        for name, record in records.items()
        for value in withheld_values(record, name, public_surnames=road.library.public_surnames, step=step)
    ]
    shown = frozenset[tuple[float, float]]().union(*(shown_points(record, step=step) for record in records.values()))
    sieve = Sieve(kept, shown=shown)
    for record, files in demo.items():
        for name, data in files.items():
            text = words_of(data) if name.endswith(".pdf") else data.decode()
            assert len(text) > 100
            assert not list(sieve.scan_file(text)), f"{record}/{name}"
            if name not in STAFF_FILES:
                assert DEFERRAL not in text and "not tested" not in text, f"cautions are for staff: {record}/{name}"
    assert list(sieve.scan_file(f"It stands in {kept[0].value}.")), "the sieve finds what is planted"


def test_the_sheet_reads_in_order_and_is_tagged(demo: dict[str, dict[str, bytes]]) -> None:
    road = Road(ROOT, today=TODAY, remember=False)
    for record, files in demo.items():
        document = road.documents(record)["script"]
        text = words_of(files["sheet.pdf"])
        at = 0
        for beat in document["beats"]:
            at = text.index(beat["title"], at)
        for name, parts in (
            ("sheet.pdf", ("Seen", "Spoken", "DRAFT")),
            ("shots.pdf", ("STAFF ONLY", "Taken", DEFERRAL[:30])),
        ):
            words = words_of(files[name])
            assert all(part in words for part in parts), name
            pages = len(pypdf.PdfReader(io.BytesIO(files[name])).pages)
            assert all(f"{page} of {pages}" in words for page in range(1, pages + 1)), "a number on each page"
            assert "invented" in words
            with pikepdf.open(io.BytesIO(files[name])) as pdf:
                assert pdf.Root.MarkInfo.Marked and str(pdf.Root.Lang).lower().startswith("en")
                assert document["title"] in str(pdf.docinfo.get("/Title") or pdf.open_metadata()["dc:title"])
                tags = _tags(pdf.Root.StructTreeRoot)
                assert {"/Table", "/TH", "/TD", "/H1"} <= tags


def _tags(node: Any) -> set[str]:
    found: set[str] = set()
    rows = [node]
    while rows:
        one = rows.pop()
        if isinstance(one, pikepdf.Dictionary):
            if "/S" in one:
                found.add(str(one["/S"]))
            kids = one.get("/K")
            rows += list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    return found


def test_the_description_holds_what_belongs_below_a_film(demo: dict[str, dict[str, bytes]]) -> None:
    road = Road(ROOT, today=TODAY, remember=False)
    for record, files in demo.items():
        text = files["description.txt"].decode()
        document, case = road.documents(record)["script"], road.case(record)
        assert case and text.startswith(document["summary"])
        times = re.findall(r"^(\d+):(\d\d) \S", text, re.MULTILINE)
        seconds = [int(minute) * 60 + int(second) for minute, second in times]
        assert seconds[0] == 0 and seconds == sorted(set(seconds)) and len(seconds) == len(document["beats"])
        assert all(thing["catalogue_number"] in text for thing in document["objects"])
        assert "Objects are handled by trained staff." in text and "Captions: English (en-GB)" in text
        first, *_ = text.split("\n\nSources")  # a title of a source may name a belief; nothing of ours does
        for belief in beliefs_of(case, case.record.claims):
            assert not any(tells(row, belief) for row in first.split("\n")), belief.text


def test_the_transcript_says_all_that_is_seen_and_spoken(demo: dict[str, dict[str, bytes]]) -> None:
    # WCAG 2.2, 1.2.3: a full alternative tells what is shown, too
    road = Road(ROOT, today=TODAY, remember=False)
    for record, files in demo.items():
        text = files["transcript.txt"].decode()
        for beat in road.documents(record)["script"]["beats"]:
            for block in beat["blocks"]:
                for sentence in block["sentences"]:
                    assert "".join(span["text"] for span in sentence["spans"]) in text


def test_the_prompter_copy_is_for_the_mouth() -> None:
    names = [["Exemplum primum", "ek-SEM-plum PREE-mum"], ["E. primum", "ek-SEM-plum PREE-mum"], ["crest", "KREST"]]
    assert say_aloud("E. primum weighs 12.5 g [dry].", names) == (
        "Exemplum primum [ek-SEM-plum PREE-mum] weighs twelve point five grams (dry)."
    )
    assert say_aloud("The crest of the crested newt.", names) == "The crest [KREST] of the crested newt."
    assert say_aloud("It was read by its DNA.", []) == "It was read by its D N A."


def test_lines_of_the_prompter_copy_are_short(demo: dict[str, dict[str, bytes]]) -> None:
    for files in demo.values():
        rows = files["prompter.txt"].decode().split("\n")
        assert all(len(row) <= 36 or " " not in row for row in rows) and rows.count("[PAUSE]") >= 5
        assert not [row for row in rows if re.match(r"(s|min)\b", row)], "a number stands by its unit"


def test_what_an_author_writes_cannot_break_a_text_open(newt: Road) -> None:
    document = newt.documents("newt")["script"]
    hostile = "Chapters\n0:00 <b>x</b> --> [PAUSE] #import \u202e&amp; {\\an8}"
    beat = document["beats"][1]
    beat["title"] = hostile
    beat["blocks"][1]["sentences"][0] = {"spans": [{"text": hostile}]}
    document["title"] = hostile
    files = print_script(PrintJob(document, newt.shared.museum, False))
    for name in ("captions.vtt", "captions.srt", "chapters.vtt", "metadata.vtt"):
        kind: Any = "metadata" if name.startswith("meta") else "captions"
        assert not read_captions(files[name].decode(), kind=kind).faults, name
    assert "#import" in words_of(files["sheet.pdf"]).replace(" ", "")
    assert files["prompter.txt"].decode().count("[PAUSE]") == 3, "an author’s brackets are no direction"
    script = compose_script(document, time_beats(document, newt.library.rules))
    assert not re.search(r"^0:00 <b>", transcript_text(document, script), re.MULTILINE)


def test_languages_by_name() -> None:
    assert [language_name(tag) for tag in ("en-GB", "cy", "xx")] == ["English (en-GB)", "Welsh (cy)", "xx"]


def run(*words: str, root: Path = ROOT) -> Any:
    return CliRunner().invoke(main, ["-w", str(root), *words])


def test_print_writes_a_folder_and_fits_it_to_a_time(tmp_path: Path) -> None:
    done = run("print", "european-nightjar/script", "-o", str(tmp_path))
    assert done.exit_code == 0, done.output
    folder = tmp_path / "european-nightjar--script"
    assert {path.name for path in folder.iterdir()} == set(TITLES)
    whole = (folder / "chapters.vtt").read_text("utf-8")
    run("print", "european-nightjar/script", "-o", str(tmp_path), "--minutes", "3")
    fitted = read_captions((folder / "chapters.vtt").read_text("utf-8"))
    assert fitted.captions[-1].end_ms <= 180_000 and len(fitted.captions) < len(read_captions(whole).captions)
    alone = tmp_path / "sheet.pdf"
    assert run("print", "european-nightjar/script", "-o", str(alone)).exit_code == 0
    assert alone.read_bytes().startswith(b"%PDF")
