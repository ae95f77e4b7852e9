"""`print` on the demo: what the sheets say read back, codes decoded, nothing withheld, faults told."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pikepdf
import pypdf
import pypdfium2
import pytest
import zxingcpp
from click.testing import CliRunner

from builder.cli import main
from builder.compose.label import FORMATS, first_sentence, label_data
from builder.render.label import print_labels
from builder.render.printed import PRINTERS
from builder.resolve.sieve import Sieve
from builder.resolve.withheld import shown_points, withheld_values
from builder.road import Road
from tests.conftest import ROOT, TODAY, copy_demo

KINDS = ("label", "talk", "page")


@pytest.fixture(scope="module")
def road() -> Road:
    return Road(ROOT, today=TODAY, remember=False)


@pytest.fixture(scope="module")
def printed(road: Road, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """Every label, talk and page of the demo as a PDF, by `record/piece`; nobody has signed this copy of it."""
    folder = tmp_path_factory.mktemp("printed")
    unsigned = copy_demo(folder / "museum")
    for approvals in unsigned.glob("demo_specimens/*/approvals"):
        shutil.rmtree(approvals)
    made = {}
    for record in road.workspace.folders:
        for name, document in road.documents(record).items():
            if document["kind"] in KINDS:
                path = folder / f"{record}--{name}.pdf"
                done = run("print", f"{record}/{name}", "--qr", "-o", str(path), root=unsigned)
                assert done.exit_code == 0, done.output
                made[f"{record}/{name}"] = path
    return made


def run(*words: str, root: Path = ROOT) -> object:
    return CliRunner().invoke(main, ["-w", str(root), *words])


def words_of(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())


def test_every_kind_has_a_printer_and_every_piece_a_sheet(printed: Mapping[str, Path]) -> None:
    assert set(KINDS) <= set(PRINTERS)
    assert len(printed) >= 21


def test_every_sheet_is_tagged_titled_and_marked(printed: Mapping[str, Path], road: Road) -> None:
    notice = first_sentence(road.shared.museum.notice or "")
    for path in printed.values():
        pdf = pikepdf.open(path)
        assert pdf.Root.MarkInfo.Marked and pdf.Root.Lang == "en-GB" and "/StructTreeRoot" in pdf.Root
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1" and metadata["dc:title"].endswith("(draft)")
        for page in pypdf.PdfReader(path).pages:
            text = " ".join(page.extract_text().split())
            assert "DRAFT: not approved" in text and notice in text


def test_what_curators_signed_is_printed_without_the_mark(tmp_path: Path) -> None:
    done = run("print", "ostrich/label", "-o", str(tmp_path / "label.pdf"))
    assert done.exit_code == 0, done.output
    assert "DRAFT" not in words_of(tmp_path / "label.pdf")
    with pikepdf.open(tmp_path / "label.pdf").open_metadata() as metadata:
        assert metadata["dc:title"] == "Label: Stones in place of teeth"


def test_no_sheet_holds_what_is_withheld(printed: Mapping[str, Path], road: Road) -> None:
    step = road.library.rules.coordinate_step
    records = {name: road.fetch(name).record for name in road.workspace.folders}  # type: ignore[union-attr]
    values = [value for name, record in records.items()
              for value in withheld_values(record, name, public_surnames=road.library.public_surnames, step=step)]  # fmt: skip
    shown = frozenset[tuple[float, float]]().union(*(shown_points(record, step=step) for record in records.values()))
    sieve = Sieve(values, shown=shown)
    assert values and sieve.scan("Josiah Pellowe-Crake"), "the sieve has teeth"
    for name, path in printed.items():
        reader = pypdf.PdfReader(path)
        assert not sieve.scan(f"{words_of(path)} {reader.metadata}"), name


def test_a_square_code_leads_to_the_page(printed: Mapping[str, Path]) -> None:
    """Read back by another library than the one that drew it."""
    for name, path in printed.items():
        if name.endswith("/label"):
            page = pypdfium2.PdfDocument(path)[0].render(scale=3).to_pil()
            (code,) = zxingcpp.read_barcodes(page)
            assert code.text == f"https://museum.example/specimens/{name.split('/')[0]}.html"


def test_a_label_reads_in_order_without_marks(printed: Mapping[str, Path]) -> None:
    text = words_of(printed["european-nightjar/label"])
    assert re.search(
        r"A hunter of moths This bird catches insects.* with the catch\. European nightjar Caprimulgus europaeus "
        r"Study skin · near 54\.8° N, 0\.4° E · SMNH\.B\.1887\.14 Scarrowmouth Museum of Natural History, Birds\.",
        text,
    ), text
    assert "[^" not in text and "45 words" in text and "11 s at 238" in text and "15 s at 175" in text


def test_lines_and_type_keep_the_published_limits(road: Road) -> None:
    """At most 55 characters a line on average (Smithsonian Guidelines for Accessible Exhibition Design, n.d.); labels of
    at least 16 pt, panels of at least 30 (AIM, n.d.); reading text of at least 24 (US National Park Service 2008)."""
    assert all(form.small >= 16 and form.text >= 24 for form in FORMATS.values())
    assert all(form.text >= 30 for kind, form in FORMATS.items() if kind.endswith("panel"))
    document = road.documents("european-nightjar")["label"]
    for kind in FORMATS:
        changed = {**document, "front": {**document["front"], "kind": kind}}
        for large in (False, True):
            data = label_data(changed, road.shared.museum, large=large)  # type: ignore[arg-type]
            data["staff"] = ""
            pdf = print_labels([data], title="x", language="en-GB")
            lines = [len(line) for line in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text().splitlines()]
            full = [size for size in lines if size > 20] or [0]
            assert sum(full) / len(full) <= 55, (kind, large, lines)


@pytest.mark.parametrize(("words", "paper"), [(60, "a4"), (400, "GROWN from A4 to A"), (9000, "GROWN: longer")])
def test_a_label_grows_rather_than_lose_a_word(road: Road, words: int, paper: str) -> None:
    document = road.documents("european-nightjar")["label"]
    said = [{"spans": [{"text": f"word{number}."}]} for number in range(words)]
    long = {**document, "blocks": [{"kind": "paragraph", "sentences": said}]}
    pdf = print_labels([label_data(long, road.shared.museum)], title="x", language="en-GB")  # type: ignore[arg-type]
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    assert re.findall(r"word(\d+)\.", text) == [str(number) for number in range(words)]
    assert ("GROWN" in text) == (paper != "a4") and (paper == "a4" or paper in text)
    page = pypdfium2.PdfDocument(pdf)[0]
    letters = page.get_textpage()
    boxes = [letters.get_charbox(index) for index in range(letters.count_chars())]
    assert min(bottom for _, bottom, _, _ in boxes) > 20 and max(top for _, _, _, top in boxes) < page.get_height()


def test_cards_fit_the_minutes_and_say_what_is_left(tmp_path: Path) -> None:
    path = tmp_path / "cards.pdf"
    done = run("print", "thylacine/talk", "--minutes", "5", "--cards", "a5", "-o", str(path))
    assert done.exit_code == 0  # type: ignore[attr-defined]
    text = words_of(path)
    assert "5 min" in text and "Left out today: " in text and "5:00 left" in text and "Beat 1 of 4" in text
    assert "say thy-lah-SYE-nus" in text and "This note is not a risk assessment." in text and "Source" in text
    page = pypdf.PdfReader(path).pages[0].mediabox
    assert (round(float(page.width)), round(float(page.height))) == (842, 595)  # A4 across, ISO 216
    again = tmp_path / "again.pdf"
    run("print", "thylacine/talk", "--minutes", "5", "--cards", "a5", "-o", str(again))
    assert again.read_bytes() == path.read_bytes()


@pytest.mark.parametrize("size", ["a6", "a5"])
def test_no_letter_of_a_card_stands_outside_the_paper_or_on_the_foot(
    printed: Mapping[str, Path], size: str, tmp_path: Path
) -> None:
    for name in ("thylacine/talk", "european-nightjar/talk"):
        path = tmp_path / "cards.pdf"
        assert run("print", name, "--cards", size, "-o", str(path)).exit_code == 0  # type: ignore[attr-defined]
        for page in pypdfium2.PdfDocument(path):
            letters = page.get_textpage()
            boxes = [letters.get_charbox(index) for index in range(letters.count_chars())]
            assert all(
                left > 5 and right < page.get_width() - 5 and bottom > 5
                for left, bottom, right, _ in boxes
                if right > left
            )


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("nope",), "there is no record `nope`"),
        (("thylacine",), "name its piece too; there are label, page, talk"),
        (("thylacine/tlak",), "did you mean `talk`?"),
        (("thylacine/talk", "thylacine/page", "-o", "x.pdf"), "several files need a folder"),
    ],
)
def test_what_cannot_be_printed_is_told(words: tuple[str, ...], told: str) -> None:
    done = run("print", *words)
    assert done.exit_code == 2 and told in done.output  # type: ignore[attr-defined]


def test_errors_stop_a_print_that_is_no_draft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    museum = copy_demo(tmp_path / "museum")
    label = museum / "demo_specimens/ostrich/label.md"
    label.write_text(label.read_text("utf-8") + "\nOstriches are made of glass.\n", "utf-8")
    sheet = museum / "build/print/ostrich--label.pdf"
    monkeypatch.setattr("builder.cli.print_.is_draft", lambda case, document: False)
    done = run("print", "ostrich/label", root=museum)
    assert done.exit_code == 1 and "vouchered check ostrich" in done.output and not sheet.exists()  # type: ignore[attr-defined]
    assert run("print", "norway-lemming/label", root=museum).exit_code == 0  # type: ignore[attr-defined]
    assert "DRAFT" not in words_of(museum / "build/print/norway-lemming--label.pdf")
    monkeypatch.undo()
    done = run("print", "ostrich/label", root=museum)
    assert done.exit_code == 0 and "has errors" in done.output and "DRAFT" in words_of(sheet)  # type: ignore[attr-defined]


def test_hostile_words_of_a_label_stay_words(road: Road) -> None:
    document = road.documents("european-nightjar")["label"]
    hostile = '#import "x": * \u202eevil <b>*x*</b> $1$ ' + "w" * 300
    bad = {
        **document,
        "title": hostile,
        "blocks": [{"kind": "paragraph", "sentences": [{"spans": [{"text": hostile}]}]}],
    }
    pdf = print_labels([label_data(bad, road.shared.museum)], title=hostile, language="en-GB")  # type: ignore[arg-type]
    text = re.sub(r"\s", "", "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages))
    assert '#import"x":*[U+202E]evil<b>*x*</b>$1$' in text and text.count("w" * 300) >= 2 and "\u202e" not in text


def test_a_house_that_sets_its_labels_smaller_gets_two_on_a_sheet(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    house = root / "demo_specimens/museum.yml"
    assert "label_points: 18" in house.read_text("utf-8")
    pages = {}
    for points in (18, 24):
        house.write_text(re.sub(r"label_points: \d+", f"label_points: {points}", house.read_text("utf-8")), "utf-8")
        road = Road(root, today=TODAY, remember=False)
        labels = [
            label_data(road.documents(name)["label"], road.shared.museum) for name in ("european-nightjar", "ostrich")
        ]
        assert [label["sizes"]["text"] for label in labels] == [points, points]
        assert ("published advice: at least 24" in labels[0]["staff"]) is (points == 18)
        pages[points] = len(pypdf.PdfReader(io.BytesIO(print_labels(labels, title="x", language="en-GB"))).pages)
    assert pages == {18: 1, 24: 2}
    house.write_text(re.sub(r"label_points: \d+", "label_points: 15", house.read_text("utf-8")), "utf-8")
    assert any("label_points" in p.message for p in Road(root, today=TODAY, remember=False).walk([]).problems)


def test_what_a_print_leaves_out_or_cannot_show_is_told(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "museum")
    label = root / "demo_specimens/ostrich/label.md"
    label.write_text(label.read_text("utf-8").replace("Look at", "夜: look at", 1), "utf-8")
    done = run("print", "ostrich/talk", "ostrich/label", "--minutes", "0.5", "-o", str(tmp_path / "out"), root=root)
    assert done.exit_code == 0
    assert "ostrich/talk: left out: An appetite for iron" in done.output
    assert "ostrich/talk: what always stays is too long by " in done.output
    assert "ostrich/label: no font here has 夜: each is printed as its number, such as [U+591C]" in done.output
    assert "30 s" in words_of(tmp_path / "out/ostrich--talk.pdf"), "half a minute is no 0 min"
    enough = run("print", "ostrich/talk", "--minutes", "30", "-o", str(tmp_path / "out"), root=root)
    assert "left out" not in enough.output and "too long" not in enough.output


def test_a_handout_cites_in_full_and_says_nothing_twice(printed: Mapping[str, Path]) -> None:
    text = words_of(printed["european-nightjar/page"])
    sources = text.split("Sources")[-1]
    assert "Biological Conservation 98 (3): 325–331" in sources and "Goatsucker. Encyclopædia Britannica" in sources
    assert sources.count("[Passage quoting Aristotle on the goatsucker]") == 1


def test_the_plan_of_a_talk_stands_in_columns(printed: Mapping[str, Path]) -> None:
    """Every time left ends at the same place, whether of four figures or of three."""
    page = pypdfium2.PdfDocument(printed["european-nightjar/talk"])[0].get_textpage()
    ends = []
    for words in ("12:00", "9:20", "3:20", "2:00"):
        index, count = page.search(words).get_next()
        ends.append(round(page.get_charbox(index + count - 1)[2]))
    assert len(set(ends)) == 1, ends
