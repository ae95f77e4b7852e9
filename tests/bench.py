"""Measure `check` and `build` on invented workspaces, beside plain mkdocs on the same tree.

`python tests/bench.py [N …]` writes a workspace of N records (about 12 claims and 900 words each, invented text), and
prints seconds and peak memory of each step, and the ratios that matter. Nothing here is a test; no test depends on it.
"""

from __future__ import annotations

import itertools
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent
VERBS = ["eats", "takes", "carries", "keeps", "shows", "leaves", "hides", "digs"]
THINGS = [
    "moths",
    "beetles",
    "seeds",
    "leaves",
    "shells",
    "roots",
    "feathers",
    "stones",
    "berries",
    "worms",
    "snails",
    "grass",
]
PLACES = ["heath", "shore", "marsh", "hedge", "wood", "field", "dune", "pond", "meadow", "cliff"]
TIMES = [
    "at night",
    "in spring",
    "after rain",
    "before dawn",
    "in autumn",
    "through the winter",
    "at low tide",
    "in dry years",
]


def sentence(dice: random.Random, name: str) -> str:
    """One invented sentence of about fourteen words."""
    head = (
        f"The {name} {dice.choice(VERBS)} {dice.choice(THINGS)} and {dice.choice(THINGS)} on the {dice.choice(PLACES)}"
    )
    return f"{head} {dice.choice(TIMES)}, and it {dice.choice(VERBS)} {dice.choice(THINGS)} too."


def write_record(folder: Path, index: int, sources: int) -> None:
    """One record with a page of about 900 words and a label."""
    dice = random.Random(index)
    name = "beast " + "".join(
        "bcdfghklmnprstvw"[int(digit, 16)] + "aeiou"[int(digit, 16) % 5] for digit in f"{index:x}"
    )
    folder.mkdir(parents=True)
    claims = []
    keys = [f"claim-{number}" for number in range(12)]
    counts: dict[str, int] = {}
    for number, key in enumerate(keys):
        number_of = dice.randrange(20, 200)
        found = f"{number_of} animals of this kind on the {dice.choice(PLACES)} took {dice.choice(THINGS)} {dice.choice(TIMES)}"
        counts[key] = number_of
        rows = "".join(
            f"      - {{source: source-{dice.randrange(sources)}, locator: p. {dice.randrange(2, 90)}, finds: {found}, "
            f"n: {dice.randrange(30, 300)}, bears: for, basis: {basis}}}\n"
            for basis in ("measurement", "observation")
        )
        belief = f"    belief: People say that the {name} never touches {dice.choice(THINGS)}.\n" if number < 3 else ""
        held = f"    held_by: [{{source: source-{dice.randrange(sources)}, locator: p. 3}}]\n" if number < 3 else ""
        why = "    why: It does so where nobody looks.\n" if number < 3 else ""
        claims.append(
            f"  {key}:\n{belief}{held}    statement: {sentence(dice, name)[:-1].replace(':', '')}.\n{why}"
            f"    stands: holds\n    evidence:\n{rows}    recheck: 2031-05\n"
        )
    (folder / "record.yml").write_text(
        f"name: {{common: {name}, scientific: Exemplum primum, authority: 'Writer, 1901', family: Exemplaridae}}\n"
        f"title: What {name} does\n"
        "objects:\n"
        f"  skin:\n    catalogue_number: EX.{index}\n    preparation: study skin\n    collection: skins\n"
        f"    store: Store {index % 9}, row {index % 31}, shelf {index % 7}\n"
        f"    locality: {{latitude: {50 + index % 7}.{index % 9973:04d}, longitude: -1.{index % 7919:04d}, show: 0.1}}\n"
        f"    collector: {{name: Percival Thistlewick-{index}, show: no}}\n"
        "    hazards: {arsenic: assumed, mercury: assumed}\n"
        "anatomy:\n  tail:\n    term: tail\n    look_for: the tail and its length\n    visible_on: [skin]\n"
        "    sources: [{source: source-1, locator: p. 2, finds: a tail}]\n"
        "claims:\n" + "".join(claims),
        encoding="utf-8",
    )
    rows = [f"---\npiece: page\ntitle: What {name} does\nobjects: [skin]\n---\n\nLook at [the tail](look:tail).\n"]
    words = 0
    while words < 900:
        if words % 5 == 0:
            rows.append(f"\n## Part {len(rows)}\n")
        paragraph = []
        for _ in range(5):
            text = sentence(dice, name)
            words += len(text.split())
            key = dice.choice(keys)
            if dice.random() < 0.2:
                text = f"{text[:-1]}, as {counts[key]} of them did."
            paragraph.append(f"{text}[^{key}]")
        rows.append("\n" + "\n".join(paragraph) + "\n")
    (folder / "page.md").write_text("".join(rows), encoding="utf-8")
    label = f"---\npiece: label\ntitle: The {name}\nkind: object label\nobjects: [skin]\n---\n\n"
    (folder / "label.md").write_text(f"{label}{sentence(dice, name)}[^claim-5]\n", encoding="utf-8")


def write_workspace(top: Path, count: int) -> None:
    """A workspace of `count` records that rest on a bibliography of a quarter as many sources, 50 at least."""
    sources = max(50, count // 4)
    settings = (ROOT / "builder/skeleton/museum/mkdocs.yml").read_text("utf-8").replace("{name}", "Example museum")
    records = top / "records"
    records.mkdir(parents=True)
    (top / "content").mkdir()
    (top / "mkdocs.yml").write_text(settings, encoding="utf-8")
    for page in ("index", "how-we-check"):
        shutil.copy(ROOT / f"builder/skeleton/museum/content/{page}.md", top / "content")
    (records / "museum.yml").write_text(
        "name: Example museum\ninvented: yes\ncollections: {skins: {name: Skins, filming: allowed}}\n", encoding="utf-8"
    )
    (records / "glossary.yml").write_text("study skin: a skin kept for research\n", encoding="utf-8")
    (records / "sources.yml").write_text(
        "".join(
            f"source-{i}:\n  type: article-journal\n  title: On example beasts, part {i}\n"
            f"  author: [{{family: Writer{i % 97}, given: A. B.}}, {{family: Reader{i % 31}, given: C.}}]\n"
            f"  issued: {1950 + i % 70}\n  container-title: Journal of Examples\n  volume: {i % 60 + 1}\n"
            f"  page: {i}-{i + 9}\n  DOI: 10.1234/example.{i}\n  standing: first-hand\n  draws_on: []\n  seen: 2026-05-14\n"
            for i in range(sources)
        ),
        encoding="utf-8",
    )
    for index in range(count):
        write_record(records / f"beast-{index:05d}", index, sources)


def run(command: list[str], **environment: str) -> tuple[float, float, str]:
    """Seconds, peak memory in MiB (of the largest process), and what it printed."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, env={**os.environ, **environment}, check=False)
    seconds = time.perf_counter() - start
    peak = max(before, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss) / 1024
    if done.returncode not in (0, 1):
        print(done.stdout[-2000:], done.stderr[-2000:])
    return seconds, peak, done.stdout + done.stderr


STAGES = """
import sys, datetime, builder.cli
from pathlib import Path
from builder.build import build
import builder.build
builder.build.build_site = lambda *a, **k: (_ for _ in ()).throw(SystemExit(0))
builder.build.stamp_of = lambda *a: ""
try:
    build(Path(sys.argv[1]), today=datetime.date(2026, 11, 25), draft=True)
except SystemExit:
    pass
"""


def measure(count: int) -> dict[str, float]:
    """All steps for one size, from cold."""
    top = Path(tempfile.mkdtemp(prefix="bench-")) / "museum"
    write_workspace(top, count)
    vouchered = [sys.executable, "-m", "builder", "-w", str(top)]
    day = ["--on", "2026-11-25"]
    found: dict[str, float] = {}

    def note(step: str, command: list[str], **environment: str) -> str:
        seconds, peak, said = run(command, **environment)
        found[step] = seconds
        print(f"{count:>6}  {step:<34} {seconds:8.2f} s   peak {peak:6.0f} MiB", flush=True)
        return said

    said = note("check, cold", [*vouchered, "check", *day])
    print("        " + said.strip().split("\n")[-1])
    note("check, nothing changed", [*vouchered, "check", *day])
    record = top / "records/beast-00007/record.yml"
    record.write_text(record.read_text("utf-8").replace("p. 3", "p. 4", 1), encoding="utf-8")
    note("check, one record edited", [*vouchered, "check", *day])
    shutil.rmtree(top / "build")
    note("our stages of build, cold", [sys.executable, "-c", STAGES, str(top)])
    note("our stages of build, no change", [sys.executable, "-c", STAGES, str(top)])
    (top / "build/drafts/mkdocs.yml").write_text("INHERIT: ../../mkdocs.yml\ndocs_dir: docs\nsite_dir: bench-site\n")
    mkdocs = [sys.executable, "-m", "mkdocs", "build", "--strict", "-f", str(top / "build/drafts/mkdocs.yml")]
    note("plain mkdocs on the same tree", mkdocs, NO_MKDOCS_2_WARNING="1", DISABLE_MKDOCS_2_WARNING="true")
    plain = found["plain mkdocs on the same tree"]
    for step in ("our stages of build, cold", "our stages of build, no change"):
        print(f"{count:>6}  {step:<34} {found[step] / plain:8.1%} of plain mkdocs")
    shutil.rmtree(top.parent)
    return found


def write_tables(top: Path, count: int, rows: int) -> None:
    """Give every record a diet table of so many rows."""
    for index in range(count):
        dice = random.Random(index)
        folder = top / f"records/beast-{index:05d}"
        with (folder / "gut.csv").open("w", encoding="utf-8") as table:
            table.write("sample,prey,group,count,mass_g\n")
            for row in range(rows):
                prey = row % 5 + 5 * dice.randrange(3)
                table.write(f"s{row // 5},prey {prey},group {prey % 5},{dice.randrange(1, 9)},{dice.random():.3f}\n")
        with (folder / "record.yml").open("a", encoding="utf-8") as record:
            record.write("diet:\n  gut: {table: gut.csv, method: stomachs, source: source-1, locator: table 1}\n")


WEIGH = """
import sys, builder.cli, datetime
from pathlib import Path
from builder.road import Road
from builder.weigh.weighing import weigh
road = Road(Path(sys.argv[1]), today=datetime.date(2026, 11, 25), remember=False)
for name in road.workspace.folders:
    weigh(road.subject(name), road.origins)
"""
LARGE = """
import builder.cli
from tests.weigh.test_diet import make_table
from builder.weigh.diet import weigh_diet
assert len(weigh_diet(make_table(10_000, 60, 10)).prey.kinds) == 60
"""


def measure_weighing(count: int) -> None:
    """`check` of records with a diet table of 200 rows each, cold and remembered; and one table of 100,000 rows."""
    top = Path(tempfile.mkdtemp(prefix="bench-")) / "museum"
    write_workspace(top, count)
    write_tables(top, count, 200)
    check = [sys.executable, "-m", "builder", "-w", str(top), "check", "--on", "2026-11-25"]
    for step, command in (
        (f"weigh {count} tables of 200 rows, one core", [sys.executable, "-c", WEIGH, str(top)]),
        (f"check with {count} tables, cold", check),
        (f"check with {count} tables, nothing changed", check),
        ("weigh one table of 100,000 rows", [sys.executable, "-c", LARGE]),
    ):
        seconds, peak, _ = run(command, PYTHONPATH=str(ROOT))
        print(f"        {step:<50} {seconds:8.2f} s   peak {peak:6.0f} MiB", flush=True)
    shutil.rmtree(top.parent)


def main() -> None:
    """Measure every size given, 100, 500 and 2,000 unless others are; with `weigh N` the weighing of N records."""
    if sys.argv[1:2] == ["weigh"]:
        measure_weighing(int(sys.argv[2]) if len(sys.argv) > 2 else 2000)
        return
    sizes = [int(text) for text in sys.argv[1:]] or [100, 500, 2000]
    results = {size: measure(size) for size in sizes}
    for small, large in itertools.pairwise(sizes):
        for step in ("check, cold", "our stages of build, cold"):
            print(f"growth {small} to {large}, {step}: {results[large][step] / results[small][step]:.2f}-fold")


if __name__ == "__main__":
    main()
