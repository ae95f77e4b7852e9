"""`todo`: what it lists and in which order, as text, JSON and a calendar; what it says of a clean museum; its speed."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import icalendar
import pytest

from builder.duedates import due_calendar
from builder.road import Road
from builder.task import Task
from builder.todo import HEADS, Todo, list_todo, todo_json, todo_text
from tests.approve.signing import decide
from tests.conftest import TODAY, copy_demo
from tests.test_cli import run
from tests.test_golden import hold

ON = ("--on", TODAY.isoformat())
CORRECTION = """\
2026-10-02-newt-label:
  piece: newt/label
  was: mainly snails
  now: mainly moths
  why: two rows were exchanged
  who: c-keeper
  date: 2026-10-02
  places:
    - {where: "Gallery 1, case 4", of: newt/label, do: "reprint, and hang the new one", done: 2026-10-03}
    - {where: "wherever the page stands", of: newt/page, do: publish it}
"""


def edit(path: Path, *pairs: tuple[str, str]) -> None:
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    path.write_text(text, "utf-8")


def make_busy(stock: Path) -> Path:
    """The stock workspace with something of every kind to do."""
    record = stock / "records/newt/record.yml"
    edit(
        record,
        ("hazards: {ethanol: documented}", "hazards: {ethanol: {basis: tested, checked: 2024-10-01}}"),
        ("    why: They gather", "    recheck: 2026-12\n    why: They gather"),
        (
            "crest-grows:\n    statement: The crest of males grows in spring.",
            "crest-grows:\n    statement: The crest of males grows in spring.\n    recheck: 2026-11-01",
        ),
        (
            "    lead: true\n",
            "    lead: true\n  cold:\n    belief: Newts put out fires.\n    lead: true\n    evidence:\n"
            "      - {source: tales-1890, finds: one put out a fire, bears: for, basis: observation}\n",
        ),
    )
    label = stock / "records/newt/label.md"
    edit(label, ("kind: object label", 'kind: object label\nhangs_at: ["Gallery 1, case 4"]'))
    (stock / "records/corrections.yml").write_text(CORRECTION, "utf-8")
    decide(stock, "newt", "page", {"person": "c-keeper", "decision": "approved", "date": "2026-10-30"})
    edit(
        stock / "records/sources.yml",
        ("standing: first-hand\n", "standing: first-hand\n  withdrawn: by its journal, 2026-11-20\n"),
        ("  draws_on: []\n  seen: 2026-05-14\n", "  draws_on: []\n  seen: 2019-05-14\n"),
    )
    text = (stock / "records/sources.yml").read_text("utf-8")
    (stock / "records/sources.yml").write_text(text[: text.rindex("  seen:")], "utf-8")
    edit(
        stock / "records/museum.yml",
        ("role: educator", "role: educator, may_approve: [jars]"),
        ("storage_order", "house_rules: {source_months: 84}\nstorage_order"),
    )
    with record.open("a", encoding="utf-8") as file:
        file.write(
            "waive:\n  - {check: one-line-only, at: claims/crest-grows, reason: being looked for, who: c-keeper, "
            "until: 2026-12-10}\n"
        )
    return stock


def the_list(root: Path, *, today: date = TODAY) -> Todo:
    road = Road(root, today=today, remember=False, tasks=True)
    return list_todo(road, road.walk())


def test_text_json_and_calendar_of_a_busy_museum(stock: Path, request: pytest.FixtureRequest) -> None:
    accept = request.config.getoption("--accept")
    found = the_list(make_busy(stock))
    assert set(found.tasks) == set(HEADS) - {"unread"}
    text = re.sub("[0-9a-f]{12}\\.yml", "DIGEST.yml", todo_text(found))
    hold("todo/busy.txt", text, accept=accept)
    hold("todo/busy.json", re.sub("[0-9a-f]{12}\\.yml", "DIGEST.yml", todo_json(found)), accept=accept)
    calendar = due_calendar(found, "https://museum.example/site").decode()
    hold("todo/busy.ics", calendar.replace("\r\n", "\n"), accept=accept)


def test_the_order_is_that_of_urgency(stock: Path) -> None:
    code, said = run("-w", make_busy(stock), "todo", *ON)
    assert code == 1
    places = [said.index(head) for head, _, _ in (row for kind, row in HEADS.items() if kind != "unread")]
    assert places == sorted(places)


def test_a_source_withdrawn_in_the_demo_is_told_first_and_undoes_approvals(tmp_path: Path) -> None:
    root = copy_demo(tmp_path / "demo")
    before = the_list(root)
    assert "approval" not in before.tasks and "withdrawn" not in before.tasks
    road = Road(root, today=TODAY, remember=False, tasks=True)
    case = road.case("ostrich")
    assert case and case.subject.loaded.approvals
    marked = [claim for each in case.pieces["label"].sentences for _, claim in case.claims_of(each)]
    vouching = next(each.source for claim in marked for each in claim.evidence if hasattr(each, "source"))
    sources = root / "demo_specimens/sources.yml"
    edit(sources, (f"\n{vouching}:\n", f"\n{vouching}:\n  withdrawn: by its journal, for a test\n"))
    code, said = run("-w", root, "todo", *ON)
    assert code == 1
    assert said.split("\n")[2] == "Withdrawn sources that something still rests on (1)"
    assert f"  `{vouching}` was withdrawn: by its journal, for a test" in said
    first = said.split("\n\n")[1]
    assert "ostrich: page “" in first and "ostrich: label “" in first and "hangs at: " in first
    rows = json.loads(run("-w", root, "todo", "--format", "json", *ON)[1])["todo"]
    assert [row["id"] for row in rows["tasks"] if row["kind"] == "withdrawn"] == [vouching]
    assert rows["tasks"][0]["kind"] == "withdrawn"
    undone = [row for row in rows["tasks"] if row["kind"] == "approval"]
    assert {"page", "label"} <= {row["id"] for row in undone if row["record"] == "ostrich"}
    assert all(": out of date: " in row["what"] and vouching in row["what"] for row in undone)


def test_a_belief_told_by_a_withdrawn_source_reopens_nothing(stock: Path) -> None:
    edit(stock / "records/sources.yml", ("standing: popular", "standing: popular\n  withdrawn: pulped in 1891"))
    assert "withdrawn" not in the_list(stock).tasks


def test_what_draws_on_a_withdrawn_source_is_open_too(stock: Path) -> None:
    edit(stock / "records/sources.yml", ("draws_on: []\n  seen: 2026-05-14\n  excerpt", "draws_on: []\n  seen: 2026-05-14\n  withdrawn: gone\n  excerpt"))  # fmt: skip
    parts = the_list(stock).tasks["withdrawn"][0].parts
    assert any(part.startswith("source survey-2020, which draws on field-2001") for part in parts)
    assert any("newt: claim milk" in part for part in parts) and any("newt: label “" in part for part in parts)
    assert not any(part.endswith(":0") for part in parts)


def test_a_clean_museum_says_so(stock: Path) -> None:
    record = stock / "records/newt/record.yml"
    edit(record, ("  guess:\n    statement: Example newts may sleep all winter.\n    lead: true\n", ""))
    for piece in ("page", "label"):
        decide(stock, "newt", piece, {"person": "c-keeper", "decision": "approved", "date": "2026-11-20"})
    code, said = run("-w", stock, "todo", *ON)
    assert code == 0, said
    assert said.split("\n\n")[1].startswith("Nothing to do.\n6 dates after 23 February 2027, the first on 20 November")
    assert run("-w", stock, "todo", "--on", "2028-11-20")[0] == 1  # the last day of both approvals


@pytest.mark.parametrize(
    "day, code, told",
    [
        ("2026-08-01", 0, "Nothing to do."),
        ("2026-08-02", 0, "Nothing to do."),
        ("2026-08-03", 0, "2026-11-01, in 90 days: newt: look again at claim `milk`"),
        ("2026-10-31", 0, "2026-11-01, in 1 day: "),
        ("2026-11-01", 1, "2026-11-01, today: "),
        ("2026-11-03", 1, "2026-11-01, 2 days ago: "),
    ],
)
def test_a_day_draws_near_and_comes(stock: Path, day: str, code: int, told: str) -> None:
    record = stock / "records/newt/record.yml"
    edit(
        record,
        ("  guess:\n    statement: Example newts may sleep all winter.\n    lead: true\n", ""),
        ("    why: They gather", "    recheck: 2026-11\n    why: They gather"),
    )
    for piece in ("page", "label"):
        decide(stock, "newt", piece, {"person": "c-keeper", "decision": "approved", "date": "2026-07-20"},
               today=date(2026, 7, 20))  # fmt: skip
    for _ in range(2):  # the second time from memory
        assert run("-w", stock, "todo", "--on", day)[0] == code
        assert told in run("-w", stock, "todo", "--on", day)[1]


def test_undecided_pieces_and_leads_alone_are_no_alarm(stock: Path) -> None:
    code, said = run("-w", stock, "todo", *ON)
    assert code == 0
    assert "  newt: label, page\n" in said and "`vouchered approve --new-key PERSON` makes one" in said
    assert "  newt.guess: Example newts may sleep all winter.\n      lacks `evidence`; `stands`\n" in said
    assert said.endswith("2 undecided pieces, 1 lead.\n4 dates after 23 February 2027, the first on 15 May 2031: have "
                         "`field-2001` in hand again, last seen\n    on 2026-05-14. `--format ics` has them all.\n")  # fmt: skip


def test_what_cannot_be_read_is_never_passed_over(stock: Path) -> None:
    edit(stock / "records/newt/record.yml", ("    lead: true", "    leed: true"))
    code, said = run("-w", stock, "todo", *ON)
    assert code == 1 and "Left out above" in said and "records/newt/record.yml:" in said
    (stock / "records/newt/record.yml").write_bytes(b"\xff\xfe\x00")
    code, said = run("-w", stock, "todo", *ON)
    assert code == 1 and "Left out above" in said


def test_the_memory_changes_nothing(stock: Path) -> None:
    busy = make_busy(stock)
    for form in ("text", "json", "ics"):
        first = run("-w", busy, "todo", "--format", form, *ON)
        assert (busy / "build/memory-of-tasks.json").is_file()
        assert run("-w", busy, "todo", "--format", form, *ON) == first
    run("-w", busy, "check", *ON)
    assert run("-w", busy, "todo", "--format", "ics", *ON) == first


def test_files_are_written_where_the_public_never_comes(stock: Path, tmp_path: Path) -> None:
    out = tmp_path / "due.ics"
    code, said = run("-w", stock, "todo", "-o", out, *ON)
    assert code == 0 and "written: for staff only." in said
    assert out.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert "is as it was" in run("-w", stock, "todo", "-o", out, *ON)[1]
    assert run("-w", stock, "todo", "-o", out, "--format", "text", *ON)[0] == 0
    assert out.read_text("utf-8").startswith("To do at Example museum")
    out.write_text("my own notes", "utf-8")
    code, said = run("-w", stock, "todo", "-o", out, *ON)
    assert code == 2 and "nothing was written" in said and out.read_text("utf-8") == "my own notes"
    code, said = run("-w", stock, "todo", "-o", stock / "site/due.ics", *ON)
    assert code == 2 and "may become public" in said


def unfolded(data: bytes) -> list[str]:
    """Content lines by the rules of RFC 5545, section 3.1, written here without any library."""
    assert data.endswith(b"\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"") and b"\r" not in data.replace(b"\r\n", b"")
    for row in data.split(b"\r\n"):
        assert len(row) <= 75, row  # "lines of text SHOULD NOT be longer than 75 octets, excluding the line break"
        row.decode("utf-8")  # our choice beyond the RFC: no character is cut in two
    return data.decode("utf-8").replace("\r\n ", "").split("\r\n")[:-1]


def test_the_calendar_keeps_the_rules_of_rfc_5545(stock: Path) -> None:
    edit(
        make_busy(stock) / "records/newt/record.yml",
        (
            "reason: being looked for",
            'reason: "wörds; with, signs \\\\ and ｗｉｄｅ 字字字字字字字字字字字字字字字字字字"',
        ),
    )
    found = the_list(stock)
    data = due_calendar(found, None)
    rows = unfolded(data)
    assert rows[0] == "BEGIN:VCALENDAR" and rows[-1] == "END:VCALENDAR"
    open_parts: list[str] = []
    events: list[dict[str, str]] = []
    for row in rows:
        name, colon, value = row.partition(":")
        assert colon and re.fullmatch(r"[A-Z-]+(;[A-Z-]+=[A-Z-]+)*", name), row
        if name == "BEGIN":
            open_parts.append(value)
            events += [{}] if value == "VEVENT" else []
        elif name == "END":
            assert open_parts.pop() == value
        elif open_parts[-1] == "VEVENT":
            assert name not in events[-1], "these properties may stand once only (section 3.6.1)"
            events[-1][name] = value
    assert not open_parts
    for needed in ("VERSION:2.0", "PRODID:-//Vouchered//Due dates//EN"):
        assert rows.count(needed) == 1  # section 3.6: "REQUIRED, but MUST NOT occur more than once"
    assert len(events) == len(found.dated) >= 6
    assert len({event["UID"] for event in events}) == len(events)
    for event in events:
        day = event["DTSTART;VALUE=DATE"]
        assert re.fullmatch("[0-9]{8}", day) and event["DTSTAMP"] == f"{day}T000000Z"
        start = date.fromisoformat(day)
        assert date.fromisoformat(event["DTEND;VALUE=DATE"]) == start + timedelta(days=1)  # the end is not within it
    told = icalendar.Calendar.from_ical(data)
    waiver = next(e for e in told.walk("VEVENT") if "waiver" in str(e["UID"]))
    assert "wörds; with, signs \\ and ｗｉｄｅ 字" in str(waiver["SUMMARY"])
    assert str(waiver["CATEGORIES"].cats[0]) == "waiver"


def test_events_keep_their_names_when_their_day_moves(stock: Path) -> None:
    busy = make_busy(stock)
    first = icalendar.Calendar.from_ical(due_calendar(the_list(busy), "https://museum.example"))
    edit(busy / "records/newt/record.yml", ("recheck: 2026-11-01", "recheck: 2029-01-31"))
    later = icalendar.Calendar.from_ical(
        due_calendar(the_list(busy, today=date(2026, 12, 1)), "https://museum.example")
    )
    then = {str(e["UID"]): e for e in first.walk("VEVENT")}
    now = {str(e["UID"]): e for e in later.walk("VEVENT")}
    assert set(then) == set(now)
    moved = [uid for uid in then if then[uid].to_ical() != now[uid].to_ical()]
    assert moved == ["date/newt/claim%20crest-grows@museum.example"]
    assert now[moved[0]].decoded("dtstart") == date(2029, 1, 31)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_the_ends_of_the_calendar_are_days_too(stock: Path, day: str) -> None:
    busy = make_busy(stock)
    assert run("-w", busy, "todo", "--on", day)[0] == 1
    assert run("-w", busy, "todo", "--on", day, "--format", "ics")[1].endswith(
        "END:VCALENDAR\n"
    )  # the runner makes plain line ends


def test_what_is_to_be_copied_stands_in_one_row(stock: Path) -> None:
    long = "a-name-that-would-end-a-row-of-a-hundred-letters-in-the-midst-of-it"
    (stock / "records/newt/page.md").rename(stock / f"records/newt/{long}.md")
    decide(stock, "newt", long, {"person": "c-keeper", "decision": "changes asked", "date": "2026-11-20",
                                 "comment": "say more"})  # fmt: skip
    said = run("-w", stock, "todo", *ON)[1]
    assert f"`vouchered approve newt/{long}`" in said and "asked for changes on 2026-11-20: say more" in said


def test_many_dates_are_listed_in_one_pass(stock: Path) -> None:
    tasks = tuple(
        Task("date", "newt", f"claim c{n}", f"look again at claim `c{n}`", "f", n, "look", "2031-05-01")
        for n in range(30_000)
    )
    todo = Todo("Example museum", TODAY, {"date": tasks})
    assert todo_text(todo).split("\n")[2].startswith("Nothing to do.") and "30,000 dates after" in todo_text(todo)
