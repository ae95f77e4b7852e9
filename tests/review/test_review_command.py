"""`review` from the command line: it starts, answers on this machine alone, says what is wrong with a port, and stops."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from tests.conftest import ROOT
from tests.sign_demo import PASSPHRASE

PIECE = "/piece/newt/page"


def free_port() -> int:
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


def command(stock: Path, *words: str) -> list[str]:
    return [sys.executable, "-m", "builder", "-w", str(stock), "review", *words]


@contextmanager
def running(stock: Path, port: int, *words: str) -> Iterator[subprocess.Popen[str]]:
    """The command, from when it answers; stopped at the end, whatever happens."""
    env = {**os.environ, "PYTHONUNBUFFERED": "1"}
    begun = subprocess.Popen(
        command(stock, "--port", str(port), *words), cwd=ROOT, env=env, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    try:
        end = time.monotonic() + 60
        while True:
            try:
                httpx.get(f"http://127.0.0.1:{port}/style.css", timeout=20)
                break
            except httpx.ConnectError:
                assert begun.poll() is None, begun.communicate()
                assert time.monotonic() < end, "it does not answer"
                time.sleep(0.1)
        yield begun
    finally:
        if begun.poll() is None:
            begun.kill()
        begun.communicate()


def test_it_starts_answers_here_alone_and_stops(stock: Path) -> None:
    port = free_port()
    with running(stock, port, "--host", "review.museum.example") as begun:
        home = f"http://127.0.0.1:{port}"
        shown = httpx.get(home + PIECE, timeout=60)
        assert shown.status_code == 200 and "Sentence by sentence" in shown.text
        assert "server" not in shown.headers
        named = {"host": "review.museum.example"}
        assert httpx.get(f"{home}/", headers=named, timeout=60).status_code == 200
        assert httpx.get(f"{home}/", headers={"host": "evil.example"}).status_code == 400

        second = subprocess.run(command(stock, "--port", str(port)), cwd=ROOT, capture_output=True, text=True)
        assert second.returncode == 2 and f"{port} is in use; choose another" in second.stderr
        assert "Traceback" not in second.stderr and second.stdout == ""

        begun.send_signal(signal.SIGINT)
        out, err = begun.communicate(timeout=30)
        assert begun.returncode == 0, (begun.returncode, err)
        assert f"Open http://127.0.0.1:{port}/ in a browser; Ctrl-C stops it." in out
        assert "It answers to review.museum.example too" in out
        assert "Traceback" not in err
    with running(stock, port) as again:
        assert again.poll() is None, "the port is free for the next run at once"
        assert httpx.get(f"http://127.0.0.1:{port}/", headers=named).status_code == 400


def test_two_runs_on_two_ports_do_not_take_each_others_forms(stock: Path) -> None:
    one, other = free_port(), free_port()
    keys = ("--keys", str(ROOT / "docs/demo-keys"))
    with running(stock, one, *keys), running(stock, other, *keys):
        first = httpx.get(f"http://127.0.0.1:{one}{PIECE}", timeout=60)
        token = re.search(r'name="token" value="([0-9a-f]+)"', first.text)
        assert token
        home = f"http://127.0.0.1:{other}"
        form = {"token": token[1], "passphrase": PASSPHRASE, "decision": "approved"}
        sent = httpx.post(home + PIECE, data=form, headers={"origin": home}, cookies=dict(first.cookies), timeout=60)
        assert sent.status_code == 403 and "no longer" in sent.text
    assert list(stock.rglob("approvals/page--*.yml")) == []


@pytest.mark.parametrize(
    "words, told",
    [
        (("--host", "two words"), "--host"),
        (("--port", "0"), "--port"),
        (("--port", "65536"), "--port"),
        (("newt/page",), "go with `--packet`"),
        (("--packet", "newt/pge"), "there is no piece `newt/pge` that can be read"),
    ],
)
def test_what_cannot_be_done_is_said(stock: Path, words: tuple[str, ...], told: str) -> None:
    done = subprocess.run(command(stock, *words), cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert done.returncode == 2 and told in done.stderr, done.stderr
    assert "Traceback" not in done.stderr
