"""The review over HTTP: no decision without passphrase, token, right host and right origin; nothing lost, nothing told."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.check.example import STOCK
from builder.review.guard import HEADERS
from tests.review.review_case import HOME, PASSPHRASE, PEOPLE, Reviewed, form_of, post, prepare

PAGE = "/piece/newt/page"


@pytest.fixture
def case(tmp_path: Path) -> Reviewed:
    root = Path(shutil.copytree(str(STOCK), tmp_path / "museum"))
    prepare(root, tmp_path / "keys")
    return Reviewed(root, tmp_path / "keys")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Reviewed]:
    top = tmp_path_factory.mktemp("shared")
    root = Path(shutil.copytree(str(STOCK), top / "museum"))
    prepare(root, top / "keys")
    yield Reviewed(root, top / "keys")


def test_a_review_from_list_to_signature(case: Reviewed) -> None:
    client = case.client()
    assert f'href="{PAGE}"' in client.get("/").text
    form = form_of(client, PAGE, comment="Reads well.")
    form["remark text/001"] = "Which newt?\r\nSay so."
    done = post(client, PAGE, form)
    assert done.status_code == 303 and len(case.decisions) == 1, done.text
    text = case.decisions[0].read_text("utf-8")
    assert "decision: approved" in text and "date: '2026-11-24'" in text.replace(
        "date: 2026-11-24", "date: '2026-11-24'"
    )
    assert "Reads well." in text and "Say so." in text
    told = client.get(done.headers["location"])
    assert told.status_code == 200 and "The decision is on record" in told.text and "Which newt?" in told.text
    assert f'href="{PAGE}"' in client.get("/").text.partition("Approved as they stand")[2]


def test_after_an_edit_the_change_is_shown_in_words(case: Reviewed) -> None:
    client = case.client()
    assert post(client, PAGE, form_of(client, PAGE)).status_code == 303
    file = next(case.root.rglob("newt/page.md"))
    file.write_text(file.read_text("utf-8").replace("moths", "400 moths", 1), "utf-8")
    text = client.get(PAGE).text
    assert "What changed since Curator c-keeper decided" in text and "Serious: it touches" in text
    assert "<ins>" in text and "[put in: " in text
    assert "Changed since it was approved" in client.get("/").text


def test_a_piece_that_changes_while_it_is_read_is_not_signed(case: Reviewed) -> None:
    client = case.client()
    form = form_of(client, PAGE, comment="Kept & shown")
    file = next(case.root.rglob("newt/page.md"))
    file.write_text(file.read_text("utf-8").replace("moths", "many moths", 1), "utf-8")
    refused = post(client, PAGE, form)
    assert refused.status_code == 409 and not case.decisions
    assert "changed while you read it" in refused.text and "many" in refused.text and "<ins>" in refused.text
    assert "Kept &amp; shown" in refused.text and PASSPHRASE not in refused.text


REFUSED = [
    ({"passphrase": None}, {}, 422),
    ({"passphrase": ""}, {}, 422),
    ({"passphrase": "some wrong words"}, {}, 403),
    ({"token": None}, {}, 403),
    ({"token": "0" * 64}, {}, 403),
    ({"token": "é" * 9}, {}, 403),
    ({"fingerprint": "0" * 64}, {}, 409),
    ({"person": "nobody"}, {}, 422),
    ({"person": "../../etc/passwd"}, {}, 422),
    ({"decision": "maybe"}, {}, 422),
    ({"day": "2027-01-01"}, {}, 422),
    ({"day": "today"}, {}, 422),
    ({"decision": "changes asked"}, {}, 422),
    ({}, {"origin": None}, 403),
    ({}, {"origin": "null"}, 403),
    ({}, {"origin": "https://evil.example"}, 403),
    ({}, {"origin": "http://127.0.0.1:9000"}, 403),
    ({}, {"origin": "https://127.0.0.1:8322"}, 403),
    ({}, {"sec_fetch_site": "cross-site"}, 403),
    ({}, {"sec_fetch_site": "same-site"}, 403),
    ({}, {"host": "evil.example"}, 400),
    ({}, {"host": "127.0.0.1.evil.example:8322"}, 400),
    ({}, {"content_type": "text/plain"}, 415),
    ({"comment": "x" * 600_000}, {}, 413),
    ({"comment": "x" * 30_000}, {}, 422),
]  # fmt: skip


@pytest.mark.parametrize("changes, headers, status", REFUSED)
def test_no_decision_without(shared: Reviewed, changes: dict[str, str], headers: dict[str, str], status: int) -> None:
    client = shared.client()
    form = form_of(client, PAGE, **changes)
    answer = post(client, PAGE, form, **headers)
    assert (answer.status_code, shared.decisions) == (status, [])
    assert PASSPHRASE not in answer.text and "Traceback" not in answer.text


def test_no_decision_with_the_token_of_another_session(shared: Reviewed) -> None:
    one, other = shared.client(), shared.client()
    form = form_of(one, PAGE)
    form_of(other, PAGE)
    assert post(other, PAGE, form).status_code == 403
    one.cookies.clear()
    assert post(one, PAGE, form).status_code == 403
    assert post(one, PAGE, form, cookie="review=made-up.0000").status_code == 403
    assert shared.decisions == []


@pytest.mark.parametrize("method", ["GET", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
def test_no_decision_by_another_method(shared: Reviewed, method: str) -> None:
    client = shared.client()
    form = form_of(client, PAGE)
    answer = client.request(method, PAGE, params=form, headers={"origin": HOME})
    assert answer.status_code == (200 if method in ("GET", "HEAD") else 405) and shared.decisions == []


def test_wrong_passphrases_are_ever_slower_and_the_right_one_does_not_help(case: Reviewed) -> None:
    now = [0.0]
    case = Reviewed(case.root, case.keys, clock=lambda: now[0])
    client = case.client()
    wrong = form_of(client, PAGE, passphrase="wrong words all")
    assert [post(client, PAGE, wrong).status_code for _ in range(7)] == [403] * 5 + [429] * 2
    right = {**wrong, "passphrase": PASSPHRASE}
    held = post(client, PAGE, right)
    assert held.status_code == 429 and "Try again in 1 minute" in held.text and not case.decisions
    now[0] = 61
    assert post(client, PAGE, wrong).status_code == 403
    now[0] = 100
    assert "Try again in 2 minutes" in post(client, PAGE, right).text, "the second wait is twice the first"
    now[0] = 182
    assert post(client, PAGE, right).status_code == 303 and len(case.decisions) == 1


def test_many_guesses_at_once_do_not_slip_past_the_count(case: Reviewed) -> None:
    form = form_of(client := case.client(), PAGE, passphrase="wrong words all")
    with ThreadPoolExecutor(16) as pool:
        told = list(pool.map(lambda _: post(client, PAGE, form).status_code, range(32)))
    assert told.count(403) == 5 and told.count(429) == 27


def test_two_curators_at_once_lose_nothing(case: Reviewed) -> None:
    """Every person decides at the same moment, each with an own comment: one file each, and all of them count."""
    forms = []
    for person in PEOPLE:
        client = case.client()
        forms.append((client, form_of(client, PAGE, person=person, comment=f"From {person}.")))
    with ThreadPoolExecutor(len(forms)) as pool:
        told = list(pool.map(lambda pair: post(pair[0], PAGE, pair[1]).status_code, forms))
    assert told == [303] * len(PEOPLE) and len(case.decisions) == len(PEOPLE)
    assert {f"From {person}." in "".join(p.read_text("utf-8") for p in case.decisions) for person in PEOPLE} == {True}
    piece = case.desk.look().pieces["newt/page"]
    assert piece.standing.approved and len(piece.standing.approvals) == len(PEOPLE)


def test_behind_a_proxy(case: Reviewed) -> None:
    case = Reviewed(case.root, case.keys, names=("review.museum.example",), https=True)
    client = case.client("https://review.museum.example")
    shown = client.get(PAGE)
    cookie = shown.headers["set-cookie"]
    assert cookie.startswith("__Host-review=") and {"HttpOnly", "Secure", "SameSite=strict", "Path=/"} <= set(
        cookie.split("; ")
    )
    form = form_of(client, PAGE)
    assert post(client, PAGE, form, origin="http://review.museum.example").status_code == 403
    assert post(client, PAGE, form, origin="https://review.museum.example").status_code == 303


def test_the_cookie_of_a_session(shared: Reviewed) -> None:
    cookie = shared.client().get(PAGE).headers["set-cookie"]
    assert {"HttpOnly", "SameSite=strict", "Path=/"} <= set(cookie.split("; ")) and "Secure" not in cookie


@pytest.mark.parametrize("path", ["/", PAGE, "/style.css", "/mark.svg", "/nothing", "/piece/newt/none", "/picture/x"])
def test_every_answer_carries_the_headers(shared: Reviewed, path: str) -> None:
    client = shared.client()
    answers = [client.get(path), client.head(path), client.delete(path), client.post(path), client.get(path, headers={"host": "evil.example"})]  # fmt: skip
    for answer in answers:
        assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS, (path, answer.status_code)


def test_pictures_go_out_by_digest_alone(shared: Reviewed) -> None:
    client = shared.client()
    digests = [figure["digest"] for piece in shared.desk.look().pieces.values() for figure in piece.document["figures"]]
    for digest in digests:
        shown = client.get(f"/picture/{digest}")
        assert shown.status_code == 200 and hashlib.sha256(shown.content).hexdigest() == digest
    for tried in ("0" * 64, "..%2f..%2fmuseum.yml", "%2e%2e/museum.yml", "head.svg", "..%5c..%5cmkdocs.yml", "%00"):
        for top in ("/picture/", "/piece/newt/", "/piece/newt/page/decision/"):
            assert client.get(top + tried).status_code == 404, tried


def test_a_fault_of_the_program_is_a_plain_page(shared: Reviewed, monkeypatch: pytest.MonkeyPatch) -> None:
    client = shared.client()
    form = form_of(client, PAGE)

    def fail(*_: object) -> None:
        raise RuntimeError(f"a secret, {PASSPHRASE}")

    monkeypatch.setattr("builder.review.deciding.unlock_key", fail)
    answer = post(client, PAGE, form)
    assert answer.status_code == 500 and "Something went wrong" in answer.text
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    for told in (answer.text, "\n".join(shared.log)):
        assert PASSPHRASE not in told and "secret" not in told and "Traceback" not in told
    assert any("RuntimeError at test_requests.py" in line for line in shared.log)


def test_no_passphrase_is_logged(case: Reviewed) -> None:
    client = case.client()
    for passphrase in ("a wrong one, surely", PASSPHRASE):
        post(client, PAGE, form_of(client, PAGE, passphrase=passphrase))
    post(client, PAGE, form_of(client, PAGE, person=f"{PASSPHRASE}\nforged row"))
    log = "\n".join(case.log)
    assert "signed: newt/page by c-keeper" in log
    assert PASSPHRASE not in log and "a wrong one" not in log and "forged" not in log
    assert PASSPHRASE not in case.decisions[0].read_text("utf-8")


words = st.text(st.characters(codec="utf-8"), max_size=40)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    parts=st.lists(words, max_size=5),
    form=st.dictionaries(words, words, max_size=6),
    method=st.sampled_from(["GET", "POST"]),
)
def test_any_path_and_any_form(shared: Reviewed, parts: list[str], form: dict[str, str], method: str) -> None:
    from urllib.parse import quote

    path = "/" + "/".join(quote(part, safe="") for part in parts)
    client = shared.client()
    answer = client.get(HOME + path, params=form) if method == "GET" else post(client, HOME + path, form)
    assert answer.status_code < 500 and "Traceback" not in answer.text and shared.decisions == []
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    form=st.dictionaries(
        st.sampled_from(["person", "decision", "day", "comment", "fingerprint", "remark text/001", "remark x"]), words
    ),
    body=st.binary(max_size=60),
)
def test_any_value_in_our_own_form(shared: Reviewed, form: dict[str, str], body: bytes) -> None:
    client = shared.client()
    answer = post(client, PAGE, {**form_of(client, PAGE, passphrase=None), **form})
    assert answer.status_code in (409, 413, 422) and shared.decisions == []
    raw = client.post(PAGE, content=body, headers={"origin": HOME, "content-type": "application/x-www-form-urlencoded"})
    assert raw.status_code in (400, 403)
