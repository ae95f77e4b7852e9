"""Render a pull list: as text for a terminal or a plain printer, and as the data of its sheet.

In: a pull list. Out: text of at most 100 columns, longer words apart. Its head and every slip say that it is for staff.
"""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from builder.compose.pull import NeedData, PullList, PullRow

STAFF = "STAFF ONLY: not for the public"
WIDTH = 100
SLIP = (
    "This slip stands in the object’s place while it is out. The object’s own label stays with the object. "
    "Cancel the slip on return."
)
"""After *Guidelines for the Curation of Geological Materials*: the slip takes the object's place even for an hour."""


def pull_title(made: PullList) -> str:
    """What the list is called: by its piece, or by how many it is for."""
    pieces = made["pieces"]
    return f"Pull list: {pieces[0]['title']}" if len(pieces) == 1 else f"Pull list for {len(pieces)} pieces"


def pull_sheet(made: PullList) -> dict[str, object]:
    """The data of the template `pull`."""
    return {**made, "pieces": [_need(need) for need in made["pieces"]], "title": pull_title(made), "slip": SLIP}


def pull_text(made: PullList) -> str:
    """The whole list as text, its slips last."""
    return "\n".join(_list_lines(made)).rstrip() + "\n\n" + "\n".join(_slip_lines(made)).rstrip() + "\n"


def _list_lines(made: PullList) -> Iterator[str]:
    yield pull_title(made)
    yield STAFF
    yield made["museum"]
    yield from _wrapped(made["notice"])
    yield ""
    yield f"Out by:  {made['out_by'] or '____________'}     Back by:  {made['back_by'] or '____________'}"
    if made["scheme"]:
        yield f"Order:   {made['scheme']}"
    yield ""
    yield "For"
    for need in made["pieces"]:
        yield from _wrapped(_need(need), "  - ")
    if made["warnings"]:
        yield ""
        yield "Before you fetch"
        for warning in made["warnings"]:
            yield from _wrapped(warning, "  - ")
    yield ""
    yield f"To fetch ({len(made['rows'])})"
    for row in made["rows"]:
        yield ""
        yield from _row_lines(row)
    yield ""
    yield "Cautions"
    for shared in made["cautions"]:
        one = shared["caution"]
        numbers = ", ".join(map(str, shared["numbers"]))
        yield from _wrapped(f"{one['what']} Objects: {numbers}.", "  - ")
        yield from _wrapped(f"Who: {one['who']}", "    ")
        yield from _wrapped(f"On stage: {one['stage']}", "    ")
    yield from _wrapped(made["deferral"], "  ")


def _row_lines(row: PullRow) -> Iterator[str]:
    head = f"{row['number']:>3}.  [ ] out  [ ] back   {row['catalogue_number']}, {row['preparation']}"
    yield from _wrapped(head, indent="      ")
    for name, value in _facts(row):
        yield from _wrapped(f"{name}: {value}", "      ")


def _facts(row: PullRow) -> Iterator[tuple[str, str]]:
    """What is known of an object, in the order in which it is needed."""
    family = " ".join(filter(None, (row["place"], row["family"])))
    yield "name", ", ".join(filter(None, (family, row["scientific"], row["common"])))
    yield "shelf", row["store"] or "not recorded"
    yield "collection", row["collection"]
    for name in ("container", "fluid"):
        if row[name]:
            yield name, row[name]
    yield "hazards", "; ".join(one["short"] for one in row["cautions"]) or row.get("warning", "")
    if row["unseen"]:
        yield "does not show", "; ".join(f"{term} ({why})" for term, why in row["unseen"])
    yield "needed for", "; ".join(row["needed_for"])


def _slip_lines(made: PullList) -> Iterator[str]:
    for row in made["rows"]:
        yield "- " * (WIDTH // 2)
        yield f"Removal slip {row['number']}     {STAFF}"
        yield from _wrapped(f"{row['catalogue_number']}, {row['preparation']}")
        for name, value in _facts(row):
            if name != "does not show":
                yield from _wrapped(f"{name}: {value}")
        yield f"out by: {made['out_by'] or '____________'}     back by: {made['back_by'] or '____________'}"
        yield "taken by: ____________________  day and hour: ____________________"
        yield "put back by: _________________  day and hour: ____________________"
        yield "condition on return: ______________________________________________"
        yield from _wrapped(f"{SLIP} {made['deferral']}")
        yield ""


def _need(need: NeedData) -> str:
    held = f", held {', '.join(need['held'])}" if need["held"] else ""
    return f"{need['kind']} “{need['title']}” ({need['record']}/{need['piece']}){held}"


def _wrapped(text: str, lead: str = "", *, indent: str = "") -> list[str]:
    return wrap(
        text, WIDTH, initial_indent=lead, subsequent_indent=indent or " " * len(lead), break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip
