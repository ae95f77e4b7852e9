"""The second lock: a withheld value that reached the finished site by any road stops the publication."""

from __future__ import annotations

import gzip
import shutil
from dataclasses import dataclass, fields
from pathlib import Path

import pytest
import typst
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.build import build, make_outputs
from builder.check.example import STOCK
from builder.publish.scan import scan_site
from builder.resolve.sieve import Sieve
from builder.resolve.withheld import withheld_values
from builder.road import Road, Target
from tests.conftest import TODAY

SITE = "builder/skeleton/museum/mkdocs.yml"


def workspace(root: Path) -> Path:
    shutil.copytree(str(STOCK), root)
    (root / "mkdocs.yml").write_text(Path(SITE).read_text("utf-8").replace("{name}", "Example museum"), "utf-8")
    shutil.copy("builder/skeleton/museum/content/how-we-check.md", root / "content")
    return root


def replace(root: Path, name: str, old: str, new: str) -> None:
    path = root / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def test_each_road_to_the_public_is_watched(tmp_path: Path) -> None:
    root = workspace(tmp_path / "museum")
    assert build(root, today=TODAY, draft=True).problems == ()
    site = root / "build/drafts/site"
    good = {path.name: path.read_bytes() for path in sorted(site.rglob("*.html"))}
    head = "records/newt/head.svg"
    roads = [
        ("content/index.md", "# Example museum", "# Example museum\n\nThanks to P. Thistlewick.", "private-name-shown"),
        ("records/museum.yml", "An invented museum.", "An invented museum in Room 7, bay 21.", "store-location-shown"),
        (
            "records/sources.yml",
            "title: Newts reviewed",
            "title: Newts of 51.2345, -1.2345 reviewed",
            "locality-too-precise",
        ),
        (head, "<desc>A newt", "<desc>At 4 Mill Lane: a newt", "locality-too-precise"),
    ]
    for name, old, new, check in roads:
        before = (root / name).read_text("utf-8")
        replace(root, name, old, new)
        built = build(root, today=TODAY, draft=True)
        found = {problem.check for problem in (*built.problems, *built.verdict.problems)}
        assert check in found, (name, found)
        if built.site is None:
            assert all("newt" in p.message for p in built.problems if p.check == check)
            assert {path.name: path.read_bytes() for path in sorted(site.rglob("*.html"))} == good
        (root / name).write_text(before, "utf-8")
    assert build(root, today=TODAY, draft=True).problems == ()


ASSETS = [
    ("thanks.htm", b"Given by Percival Thistlewick.", "private-name-shown"),
    ("checks/thanks.txt", b"Given by Percival Thistlewick.", "private-name-shown"),
    ("ponds.geojson", b'{"type":"Point","coordinates":[-1.2345,51.2345]}', "locality-too-precise"),
    ("ponds.kmz.gz", gzip.compress(b"<coordinates>-1.2345,51.2345,0</coordinates>"), "locality-too-precise"),
    ("plan.SVG", b"<svg xmlns='http://www.w3.org/2000/svg'><desc>bay 21, tray 4</desc></svg>", "store-location-shown"),
    ("leaflet.pdf", typst.compile(b"Given by Percival Thistlewick."), "private-name-shown"),
    ("broken.pdf", b"%PDF-1.4\0\n/Author", "unreadable-file"),
    ("percivalthistlewick.dat", b"\0\1\2", "private-name-shown"),
]


def test_whatever_lies_beside_the_prose_is_watched_in_public_and_draft(tmp_path: Path) -> None:
    root = workspace(tmp_path / "museum")
    (root / "records/newt/page.md").unlink()  # a public site has prose alone until pages are approved
    (root / "records/newt/label.md").unlink()
    for draft, site in ((True, root / "build/drafts/site"), (False, root / "site")):
        built = build(root, today=TODAY, draft=draft)
        assert built.problems == () and built.site == site
        for name, data, _ in ASSETS:
            path = root / "content" / name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(data)
        before = {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}
        built = build(root, today=TODAY, draft=draft)
        assert built.site is None
        found = {problem.place.file: problem.check for problem in built.problems if problem.place}
        assert found == {name: check for name, _, check in ASSETS}
        assert {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()} == before
        for name, _, _ in ASSETS:
            (root / "content" / name).unlink()


def test_what_is_kept_back_from_now_on_is_looked_for_in_pages_that_did_not_change(tmp_path: Path) -> None:
    root = workspace(tmp_path / "museum")
    replace(root, "content/index.md", "# Example museum", "# Example museum\n\nMeet us in the cellar 3, at shelf 9.")
    assert build(root, today=TODAY, draft=True).generated
    again = build(root, today=TODAY, draft=True)
    assert again.problems == () and not again.generated
    replace(root, "records/newt/record.yml", "store: Room 7, bay 21, tray 4", "store: Cellar 3, shelf 9")
    built = build(root, today=TODAY, draft=True)
    assert {problem.check for problem in built.problems} == {"store-location-shown"}
    assert "objects/jar/store" in built.problems[0].message and built.site is None


def test_what_a_camera_wrote_is_cut_out_of_pictures_beside_the_prose(tmp_path: Path) -> None:
    root = workspace(tmp_path / "museum")
    comment = b"taken at 51.2345, -1.2345 by Percival Thistlewick"
    length = (len(comment) + 2).to_bytes(2, "big")
    (root / "content/pond.jpg").write_bytes(b"\xff\xd8\xff\xfe" + length + comment + b"\xff\xda\0\2rest\xff\xd9")
    built = build(root, today=TODAY, draft=True)
    assert built.problems == () and built.site is not None
    assert (built.site / "pond.jpg").read_bytes() == b"\xff\xd8\xff\xda\0\2rest\xff\xd9"


def test_a_name_in_the_authority_of_another_animal_stops_nothing(tmp_path: Path) -> None:
    root = workspace(tmp_path / "museum")
    shutil.copytree(root / "records/newt", root / "records/toad")
    replace(root, "records/toad/record.yml", "Percival Thistlewick", "Ebenezer Oakenshaw")
    replace(root, "records/toad/record.yml", "Writer, 1901", "Thistlewick, 1901")
    assert build(root, today=TODAY, draft=True).problems == ()
    replace(root, "records/toad/record.yml", "credit: Ada Writer", "credit: Percival Thistlewick")
    assert {p.check for p in build(root, today=TODAY, draft=True).problems} == {"private-name-shown"}


def test_the_checks_see_it_before_the_scan(stock: Path) -> None:
    replace(stock, "records/newt/head.svg", "<desc>A newt", "<desc>At 4 Mill Lane: a newt")
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    assert [(p.check, p.place and p.place.file) for p in problems] == [
        ("locality-too-precise", "records/newt/record.yml")
    ]


@pytest.mark.parametrize(
    "name",
    [
        *("a.html", "search/search_index.json", "feed.xml", "b.svg", "c.txt", "d.xml.gz", "Percival-Thistlewick.png"),
        *("e", "f.HTML", "g.tsv", "checks/h.html"),
    ],
)
def test_every_kind_of_file_is_read(tmp_path: Path, stock: Path, name: str) -> None:
    loaded = Road(stock, today=TODAY, remember=False).fetch("newt")
    assert loaded is not None and loaded.record is not None
    sieve = Sieve(withheld_values(loaded.record, "newt"))
    path = tmp_path / "site" / name
    path.parent.mkdir(parents=True)
    text = b"<p>given by Percival Thistlewick</p>" if not name.endswith(".png") else b"\x89PNG"
    path.write_bytes(gzip.compress(text) if name.endswith(".gz") else text)
    found = scan_site(tmp_path / "site", sieve, "records")
    assert [problem.check for problem in found] == ["private-name-shown"]
    assert "objects/jar/collector/name" in found[0].message and found[0].place and found[0].place.file == name


WORDS = st.text("bcdfghjklmnpqrstvwxz", min_size=6, max_size=12)


@dataclass(frozen=True)
class Secrets:
    """A value for every field that only staff may see."""

    store: str
    road: str
    given: str
    family: str
    note: str
    reason: str
    latitude: str
    longitude: str
    show: str

    def plant(self, root: Path) -> None:
        for old, new in (
            ("store: Room 7, bay 21, tray 4", f"store: {self.store} room, bay 21, tray {self.store}"),
            ("store: Store 5, case 2", f"store: {self.store} 5, case {self.store}"),
            ("a garden pond at 4 Mill Lane", f"{self.road} pond at {self.road.title()} Lane"),
            (
                "latitude: 51.2345, longitude: -1.2345, show: 0.1",
                f"latitude: {self.latitude}, longitude: {self.longitude}, show: {self.show}",
            ),
            (
                "Percival Thistlewick, show: no}",
                f"{self.given.title()} {self.family.title()}, show: no}}\n"
                f"    donor: {{name: {self.family.title()} {self.given.title()}, show: no}}",
            ),
            (
                "hazards: {ethanol: documented}",
                f"hazards: {{ethanol: {{basis: documented, note: {self.note}}}}}\n"
                f"    container: {self.note} jar\n    fluid: {self.note}",
            ),
            ("    lead: true\n", f"    lead: true\n    note: {self.note}\n"),
            (
                "questions:",
                f"waive:\n  - {{check: long-sentence, at: page.md, reason: {self.reason}, who: c-keeper, until: 2027-01-01}}\n"
                "questions:",
            ),
        ):
            replace(root, "records/newt/record.yml", old, new)

    def found_in(self, text: str) -> list[str]:
        folded = text.casefold()
        return [field.name for field in fields(self) if field.name != "show" and getattr(self, field.name) in folded]


@st.composite
def secrets(draw: st.DrawFn) -> Secrets:
    degrees = [draw(st.floats(-limit, limit).filter(lambda number: abs(number) > 1)) for limit in (80, 170)]
    show = draw(st.sampled_from(["withheld", "county", "1", "0.1", "0.01", "0.001"]))
    return Secrets(*(draw(WORDS) for _ in range(6)), *(f"{number:.6f}" for number in degrees), show)


def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return workspace(tmp_path_factory.mktemp("plant") / "museum")


@given(planted=secrets())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_staff_only_is_ever_written(tmp_path_factory: pytest.TempPathFactory, planted: Secrets) -> None:
    """Random values in every staff-only field: none of them stands in any file of the tree."""
    root = folder(tmp_path_factory)
    planted.plant(root)
    made = Road(root, today=TODAY, remember=False, target=Target(True, root / "build/drafts/docs"))
    outputs, rows, problems = make_outputs(made, made.walk(), True)
    assert not problems
    everything = "\n".join(f"{name}\n{(data or b'').decode('utf-8', 'replace')}" for name, data in outputs.items())
    assert planted.found_in(everything + str(rows)) == []


@given(planted=secrets())
@settings(max_examples=2, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_staff_only_is_in_a_finished_site(tmp_path_factory: pytest.TempPathFactory, planted: Secrets) -> None:
    """The same of every file of a whole build of drafts; what is read here is read by other means than the scan's."""
    root = folder(tmp_path_factory)
    planted.plant(root)
    built = build(root, today=TODAY, draft=True)
    assert built.problems == () and built.site is not None
    for path in sorted(built.site.rglob("*")):
        if path.is_file():
            data = path.read_bytes()
            data = gzip.decompress(data) if path.suffix == ".gz" else data
            assert planted.found_in(f"{path.name}\n{data.decode('utf-8', 'replace')}") == [], path
