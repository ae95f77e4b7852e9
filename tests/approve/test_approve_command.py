"""`approve` as a curator meets it: what is shown, what is refused, what is written, and that nothing is half written."""

from __future__ import annotations

import os
import random
import re
import signal
import stat
import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builder.approve import signature
from builder.approve.decision import make_decision, seal_decision
from builder.approve.standing import judge_piece
from builder.cli import main
from builder.cli.command import key_folder
from builder.load.approvaltext import read_approval
from builder.publish.decision import NotAsSigned, write_decision
from builder.road import Road
from tests.approve.signing import TODAY, key_of, museum, standing, stock_documents

WORDS = "four plain words here"


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keys that open at once, kept in a folder of the test; the passphrase in the environment."""
    monkeypatch.setattr(signature, "COST", signature.LEAST)
    monkeypatch.setattr(signature.lock_key, "__kwdefaults__", {"cost": signature.LEAST})
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("VOUCHERED_PASSPHRASE", WORDS)


def run(stock: Path, *words: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["-w", str(stock), "approve", *map(str, words)])
    if done.exception and not isinstance(done.exception, SystemExit):
        raise done.exception
    return done.exit_code, done.output


def enrol(stock: Path, person: str = "c-keeper") -> None:
    """A new key, its line put into museum.yml."""
    code, said = run(stock, "--new-key", person)
    assert code == 0, said
    line = re.search(r"^    (key: ed25519:[0-9a-f]{64})$", said, re.MULTILINE)
    assert line
    house = stock / "records/museum.yml"
    entry = re.compile(rf"({person}: {{[^}}]*)}}")
    house.write_text(entry.sub(rf"\g<1>, {line[1]}}}", house.read_text("utf-8"), count=1), "utf-8")


def approvals(stock: Path) -> list[Path]:
    folder = stock / "records/newt/approvals"
    return sorted(folder.iterdir()) if folder.is_dir() else []


def state(stock: Path, piece: str = "page") -> str:
    road = Road(stock, today=TODAY, remember=False)
    case = road.case("newt")
    assert case
    return judge_piece(case, road.documents("newt")[piece]).state


def test_from_key_to_approval_to_change_and_back(stock: Path) -> None:
    enrol(stock)
    code, said = run(stock, "newt/page", "--by", "c-keeper", "--date", "2026-11-20", "--comment", "Well put.")
    assert code == 0, said
    assert "    6  Example newts drink no milk.\n       [rests on newt.milk]" in said
    assert "Nobody has decided on it before." in said
    assert re.search(
        r"wrote records/newt/approvals/page--[0-9a-f]{12}\.yml\nnewt/page is approved until 2028-11-20", said
    )
    assert state(stock) == "approved"
    page = stock / "records/newt/page.md"
    page.write_text(page.read_text("utf-8").replace("drink no milk", "drink no cow's milk"), "utf-8")
    assert state(stock) == "out of date"
    code, said = run(stock, "records/newt/page.md", "--by", "c-keeper", "--show")
    assert "What changed since `c-keeper` approved on 2026-11-20, [-out-] and {+in+}" in said
    assert "sentence 6 changed: Example newts drink no {+cow's+} milk." in said
    assert len(approvals(stock)) == 1, "shown, not signed"
    code, said = run(
        stock,
        page,
        "--by",
        "c-keeper",
        "--remark",
        "6",
        "Whose?",
        "--decision",
        "changes-asked",
        "--date",
        "2026-11-21",
    )
    assert (
        code == 0 and "newt/page is changes asked" in said and "on “Example newts drink no cow's milk.”: Whose?" in said
    )
    code, said = run(stock, "newt/page", "--by", "c-keeper", "--date", "2026-11-22")
    assert code == 0 and state(stock) == "approved"
    assert len(approvals(stock)) == 3


def test_the_same_decision_twice_is_one_file(stock: Path) -> None:
    enrol(stock)
    plain = seal_decision(
        make_decision(
            stock_documents()["page"],
            museum=museum(),
            person="c-keeper",
            decision="approved",
            date="2026-11-20",
            collections=("jars",),
        ),
        key_of("c-keeper"),
    )
    write_decision(stock / "records/newt", plain)
    with pytest.raises(FileExistsError):
        write_decision(stock / "records/newt", plain)
    assert len(approvals(stock)) == 1


def test_refusals_write_nothing(stock: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    enrol(stock), enrol(stock, "a-writer")
    for words, code, told in (
        (("newt/page", "--by", "a-writer"), 1, "is an author of this piece"),
        (("newt/page", "--by", "nobody"), 2, "`vouchered approve --new-key nobody` makes one"),
        (("newt/page",), 2, "say who decides"),
        ((), 2, "name a piece"),
        (("newt/lable", "--by", "c-keeper"), 2, "did you mean `label`?"),
        (("../newt/page", "--by", "c-keeper"), 2, "there is no record"),
        (("newt/page", "--by", "c-keeper", "--date", "2999-01-01"), 2, "has not come yet"),
        (("newt/page", "--by", "c-keeper", "--decision", "changes-asked"), 2, "say what is to change"),
        (("newt/page", "--by", "c-keeper", "--remark", "99", "x"), 2, "there is no sentence 99"),
        (("newt/page", "--by", "c-keeper", "--key", tmp_path / "none.key"), 2, "cannot be read"),
        (("newt/page", "--by", "c-keeper", "--key", key_folder() / "a-writer.key"), 1, "it is that of `a-writer`"),
    ):
        found, said = run(stock, *words)
        assert (found, told in said) == (code, True), (words, said)
    monkeypatch.setenv("VOUCHERED_PASSPHRASE", "a wrong guess of mine")
    code, said = run(stock, "newt/page", "--by", "c-keeper")
    assert code == 2 and "does not open this key" in said and "a wrong guess" not in said
    monkeypatch.delenv("VOUCHERED_PASSPHRASE")
    code, said = run(stock, "newt/page", "--by", "c-keeper")
    assert code == 2 and "nobody is there to ask" in said
    assert approvals(stock) == []


def test_a_piece_with_errors_is_not_signed(stock: Path) -> None:
    enrol(stock)
    page = stock / "records/newt/page.md"
    page.write_text(page.read_text("utf-8").replace("81 %", "18 %"), "utf-8")
    code, said = run(stock, "newt/page", "--by", "c-keeper")
    assert code == 1 and "not signed: 1 to mend first\n  number-not-in-claim:" in said and approvals(stock) == []
    assert run(stock, "newt/label", "--by", "c-keeper")[0] == 0, "an error of the page does not keep the label back"


def test_spoilt_decisions_are_mended_first(stock: Path) -> None:
    enrol(stock)
    assert run(stock, "newt/page", "--by", "c-keeper")[0] == 0
    path = approvals(stock)[0]
    path.write_bytes(path.read_bytes().replace(b"role: curator", b"role: janitor", 1))
    code, said = run(stock, "newt/page", "--by", "c-keeper")
    assert code == 1 and "something was changed after it was signed" in said and len(approvals(stock)) == 1


def test_a_private_key_stays_private(stock: Path, tmp_path: Path) -> None:
    for inside in (stock / "x.key", stock / "records/newt/deep/x.key"):
        code, said = run(stock, "--new-key", "c-keeper", "--key", inside)
        assert code == 2 and "whose files others get" in said and not inside.exists()
    link = tmp_path / "outside"
    link.symlink_to(stock / "records")
    assert run(stock, "--new-key", "c-keeper", "--key", link / "x.key")[0] == 2
    assert run(stock, "--new-key", "c-keeper")[0] == 0
    path = tmp_path / "config/vouchered/c-keeper.key"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    before = path.read_bytes()
    code, said = run(stock, "--new-key", "c-keeper")
    assert code == 2 and "exists already" in said and path.read_bytes() == before
    assert run(stock, "--new-key", "../evil")[0] == 2
    secret = signature.unlock_key(before, WORDS).private_bytes_raw().hex()
    assert secret not in said and secret.encode() not in before


def test_a_poor_passphrase_makes_no_key(stock: Path, tmp_path: Path) -> None:
    given = tmp_path / "passphrase"
    given.write_text("short\n")
    code, said = run(stock, "--new-key", "c-keeper", "--passphrase-file", given)
    assert code == 2 and "10 characters or more" in said and not (tmp_path / "config").exists()


def test_what_would_not_come_back_is_not_written(tmp_path: Path) -> None:
    plain: dict[str, Any] = make_decision(
        stock_documents()["page"],
        museum=museum(),
        person="c-keeper",
        decision="approved",
        date="2026-11-20",
        collections=("jars",),
    )
    with pytest.raises(NotAsSigned):
        write_decision(tmp_path, {**seal_decision(plain, key_of("c-keeper")), "role": "director"})
    assert not list(tmp_path.rglob("*.yml"))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks")
def test_killed_at_any_moment_no_approval_is_half_written(tmp_path: Path) -> None:
    """Fifty times a process that writes one decision after another is killed, after a random number of them."""
    document, chance, whole = stock_documents()["page"], random.Random("killed"), 0
    made = [
        seal_decision(
            make_decision(
                document,
                museum=museum(),
                person="c-keeper",
                decision="approved",
                date="2026-11-20",
                collections=("bones", "jars"),
                comment=f"Decision {number}.",
            ),
            key_of("c-keeper"),
        )
        for number in range(40)
    ]
    for turn in range(50):
        folder = tmp_path / str(turn)
        child = os.fork()
        if child == 0:
            try:
                for plain in made:
                    write_decision(folder, plain)
            finally:
                os._exit(0)
        wanted = chance.randint(1, 20)
        while len(list((folder / "approvals").glob("*.yml"))) < wanted:
            assert os.waitpid(child, os.WNOHANG) == (0, 0), "it ended before it was killed"
            time.sleep(0.0005)
        time.sleep(chance.uniform(0, 0.003))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        for path in (folder / "approvals").glob("*.yml"):
            read = read_approval(str(path), path.read_bytes())
            assert read.approval and standing(document, read).approved, path.name
            whole += 1
    assert 50 <= whole < 50 * len(made), "all were written before the kill"
