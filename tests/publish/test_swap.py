"""A new site takes the place of the last one whole, whenever the program is killed."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from builder.publish.site import exchange, restore, swap

PAGES = 30
SWAPPING = """
import sys
from pathlib import Path
from builder.publish.site import swap
work = Path(sys.argv[1])
print("ready", flush=True)
number = 0
while True:
    number += 1
    fresh = work / f"fresh-{number % 2}"
    fresh.mkdir()
    for page in range(int(sys.argv[2])):
        (fresh / f"{page}.html").write_text(str(number))
    swap(fresh, work / "site")
    print(number, flush=True)
"""


def site_in(work: Path, text: str = "0") -> Path:
    site = work / "site"
    site.mkdir(parents=True)
    for page in range(PAGES):
        (site / f"{page}.html").write_text(text)
    return site


def is_whole(site: Path) -> bool:
    return len({path.read_text() for path in site.iterdir()}) == 1 and len(list(site.iterdir())) == PAGES


@pytest.mark.skipif(sys.platform != "linux", reason="two folders are exchanged in one step on Linux alone")
def test_fifty_kills_leave_a_whole_site_each_time(tmp_path: Path) -> None:
    dice = random.Random(7)
    seen = set()
    for number in range(50):
        work = tmp_path / str(number)
        site = site_in(work)
        child = subprocess.Popen([sys.executable, "-c", SWAPPING, str(work), str(PAGES)], stdout=subprocess.PIPE)
        assert child.stdout and child.stdout.readline() == b"ready\n"
        for _ in range(dice.randrange(5)):  # kill it some way into one of its first rounds, however fast it is
            child.stdout.readline()
        time.sleep(dice.random() * 0.004)
        os.kill(child.pid, signal.SIGKILL)
        child.wait()
        child.stdout.close()
        assert is_whole(site), number
        seen.add((site / "0.html").read_text())
    assert len(seen) > 2, "the kills came before anything was swapped"


def test_without_an_exchange_a_stop_between_two_renames_is_mended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builder.publish.site.exchange", lambda one, other: False)
    site = site_in(tmp_path)
    site_in(tmp_path / "new", "1").rename(tmp_path / "fresh")
    swap(tmp_path / "fresh", site)
    assert is_whole(site) and (site / "0.html").read_text() == "1"
    assert not (tmp_path / "site.old").exists() and not (tmp_path / "fresh").exists()
    site.rename(tmp_path / "site.old")  # killed here
    restore(tmp_path, site)
    assert is_whole(site)


def test_exchange_says_when_it_cannot(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    assert not exchange(tmp_path / "one", tmp_path / "none")
    assert (tmp_path / "one").is_dir()
