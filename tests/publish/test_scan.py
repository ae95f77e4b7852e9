"""The second lock: a withheld value that reached the finished site by any road stops the publication."""

from __future__ import annotations

import gzip
import random
import shutil
from pathlib import Path

import pytest
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


def test_the_checks_see_it_before_the_scan(stock: Path) -> None:
    replace(stock, "records/newt/head.svg", "<desc>A newt", "<desc>At 4 Mill Lane: a newt")
    problems = Road(stock, today=TODAY, remember=False).walk().problems
    assert [(p.check, p.place and p.place.file) for p in problems] == [
        ("locality-too-precise", "records/newt/record.yml")
    ]


@pytest.mark.parametrize(
    "name", ["a.html", "search/search_index.json", "feed.xml", "b.svg", "c.txt", "d.xml.gz", "Percival-Thistlewick.png"]
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


@given(store=WORDS, road=WORDS, given_name=WORDS, family=WORDS, note=WORDS, seed=st.integers(0, 10**6))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_nothing_staff_only_is_ever_written(
    tmp_path_factory: pytest.TempPathFactory, store: str, road: str, given_name: str, family: str, note: str, seed: int
) -> None:
    """Random values in every staff-only field: none of them stands in any file of the tree."""
    root = workspace(tmp_path_factory.mktemp("plant") / "museum")
    dice = random.Random(seed)
    latitude, longitude = f"{dice.uniform(-80, 80):.6f}", f"{dice.uniform(-170, 170):.6f}"
    record = "records/newt/record.yml"
    replace(root, record, "store: Room 7, bay 21, tray 4", f"store: {store} room, bay 21, tray {store}")
    replace(root, record, "a garden pond at 4 Mill Lane", f"{road} pond at {road.title()} Lane")
    replace(
        root,
        record,
        "latitude: 51.2345, longitude: -1.2345, show: 0.1",
        f"latitude: {latitude}, longitude: {longitude}, show: {dice.choice(['withheld', 'county', '1', '0.1'])}",
    )
    replace(
        root,
        record,
        "Percival Thistlewick, show: no}",
        f"{given_name.title()} {family.title()}, show: no}}\n    donor: {{name: {family.title()} {given_name.title()}, show: no}}",
    )
    replace(
        root,
        record,
        "hazards: {ethanol: documented}",
        f"hazards: {{ethanol: {{basis: documented, note: {note}}}}}\n    container: {note} jar",
    )
    target = Target(True, root / "build/drafts/docs")
    made = Road(root, today=TODAY, remember=False, target=target)
    outputs, rows, problems = make_outputs(made, made.walk(), True)
    assert not problems
    everything = "\n".join(data.decode("utf-8", "replace") for data in outputs.values() if data) + str(rows)
    folded = everything.casefold()
    for secret in (store, road, given_name, family, note, latitude, longitude):
        assert secret.casefold() not in folded, secret
