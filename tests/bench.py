"""Measure `check` and `build` on invented workspaces, beside plain mkdocs on the same tree.

`python tests/bench.py [N …]` writes a workspace of N records (about 12 claims and 900 words each, invented text), and
prints seconds and peak memory of each step, and the ratios that matter. Nothing here is a test; no test depends on it.
"""

from __future__ import annotations

import itertools
import os
import random
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
    """Seconds, peak memory in MiB (of the largest process of this command), and what it printed."""
    start = time.perf_counter()
    with tempfile.TemporaryFile("w+") as said:
        started = subprocess.Popen(command, stdout=said, stderr=said, env={**os.environ, **environment})
        _, status, used = os.wait4(started.pid, 0)
        started.returncode = os.waitstatus_to_exitcode(status)
        seconds = time.perf_counter() - start
        said.seek(0)
        text = said.read()
    if started.returncode not in (0, 1):
        print(text[-2000:])
    return seconds, used.ru_maxrss / 1024, text


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
from builder.memory import DietMemory
from builder.road import MEMORY_OF_DIETS, Road
from builder.spread import spread
from builder.weigh.weighing import weigh
top = Path(sys.argv[1])
road = Road(top, today=datetime.date(2026, 11, 25), remember=False)
known = DietMemory(top / MEMORY_OF_DIETS if sys.argv[2:] else None)
names = list(road.workspace.folders)
def work(chunk):
    return sum(len(weigh(road.subject(name), road.origins, known)[0].diets) for name in chunk)
chunks = [names[at : at + 16] for at in range(0, len(names), 16)]
assert sum(spread(work, chunks)) == len(names)
"""
"""Loads and weighs every record, by one process for each core as a check does, and nothing else: no command does that.
With a second argument it asks for the results that a check has remembered."""
EACH = """
import sys, time, builder.cli
from pathlib import Path
from builder.load.table import read_table
from builder.weigh import diet_table
from builder.weigh.diet import weigh_diet
texts = [path.read_text() for path in sorted(Path(sys.argv[1]).glob("records/*/gut.csv"))[:200]]
def work(text):
    weigh_diet(diet_table.read_table(read_table(text)[0].columns)[0])
work(texts[0])
start = time.process_time()
for text in texts:
    work(text)
print(f"{(time.process_time() - start) / len(texts) * 1000:.1f}")
"""
LARGE = """
import builder.cli
from tests.weigh.test_diet import make_table
from builder.weigh.diet import weigh_diet
assert len(weigh_diet(make_table(10_000, 60, 10)).prey.kinds) == 60
"""
CORES = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def measure_weighing(count: int) -> None:
    """Records with a diet table of 200 rows each: weighed, and checked, cold and remembered; one table of 100,000 rows.

    Aims, on two cores: 2,000 records loaded and weighed from cold in 20 s; the large table in 10 s and 1,024 MiB.
    """
    top = Path(tempfile.mkdtemp(prefix="bench-")) / "museum"
    write_workspace(top, count)
    write_tables(top, count, 200)

    def note(step: str, command: list[str], aim: str = "") -> str:
        seconds, peak, said = run(command, PYTHONPATH=str(ROOT))
        print(f"        {step:<58} {seconds:8.2f} s   peak {peak:6.0f} MiB{aim and f'   (aim: {aim})'}", flush=True)
        return said

    weigh = [sys.executable, "-c", WEIGH, str(top)]
    check = [sys.executable, "-m", "builder", "-w", str(top), "check", "--on", "2026-11-25"]
    _, _, each = run([sys.executable, "-c", EACH, str(top)], PYTHONPATH=str(ROOT))
    print(f"        one table of 200 rows, read and weighed: {each.strip()} ms of one core's time", flush=True)
    aim = "20 s on two cores" if count == 2000 else ""
    note(f"load and weigh {count} records, cold, {CORES} cores", weigh, aim)
    note(f"check {count} records with tables, cold, {CORES} cores", check)
    note("check, nothing changed", check)
    page, table = (top / "records/beast-00007" / name for name in ("page.md", "gut.csv"))
    page.write_text(page.read_text("utf-8").replace("The beast", "A beast", 1), encoding="utf-8")
    note("check, one sentence edited: no table is weighed", check)
    table.write_text(table.read_text("utf-8").replace("s0,", "s00,", 1), encoding="utf-8")
    note("check, one cell of one table edited", check)
    note(f"load and weigh {count} records, results remembered", [*weigh, "remembered"])
    note("weigh one table of 100,000 rows", [sys.executable, "-c", LARGE], "10 s, 1024 MiB")
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
