"""Build the site: walk the road with a target, write the tree, run the generator, scan, and swap the site in.

In: a workspace. Out: a `Built`: what was made, or the problems that stopped it. Where anything goes wrong the last good
site stands.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from builder.check.engine import graded
from builder.check.registry import all_checks, find_check
from builder.compose.bibliography import csl_fields
from builder.compose.correction import correction_data
from builder.load.picture import picture_fault, public_picture
from builder.memory import code_digest
from builder.outcome import Composed, Outcome, Output, Waiting
from builder.output import STAFF, TREE
from builder.problem import ERROR, Place, Problem
from builder.publish.scan import scan_site
from builder.publish.site import GeneratorFailed, build_site, restore, stamp_of, swap
from builder.publish.tree import digest, manifest, shipped, write_tree
from builder.publish.write import write_bytes
from builder.render.audience import Download, render_educators, render_presenters
from builder.render.colophon import colophon_of
from builder.render.correction import FEED, render_corrections
from builder.render.feed import render_feed
from builder.render.index import (
    render_beliefs,
    render_check,
    render_checks,
    render_glossary,
    render_sources,
    render_specimens,
    render_welcome,
)
from builder.render.prose import render_prose
from builder.report import closing_line
from builder.resolve.sieve import Sieve
from builder.resolve.withheld import authorities, record_of_plain, shown_points, withheld_values
from builder.road import Road, Target, Verdict

STAMP = "site.json"


@dataclass(frozen=True)
class Built:
    """What a build came to. `site` is the folder of the site, None where none was put in place."""

    verdict: Verdict
    problems: tuple[Problem, ...]
    site: Path | None
    pages: int = 0
    written: int = 0
    waiting: tuple[Waiting, ...] = ()
    generated: bool = False


def build(
    root: Path,
    *,
    today: date,
    draft: bool = False,
    only: Iterable[str] | None = None,
    remember: bool = True,
    told: Callable[[int, int], None] | None = None,
    say: Callable[[str], None] = lambda text: None,
    road: Road | None = None,
) -> Built:
    """Build the public site into `site/`, or the drafts into `build/drafts/site/`. Raises OSError."""
    work = root / "build" / "drafts" if draft else root / "build"
    target = Target(draft, work / "docs")
    road = road or Road(root, today=today, remember=remember, target=target)
    site = work / "site" if draft else root / str(road.workspace.settings.get("site_dir", "site"))
    restore(work, site)
    verdict = road.walk(only, told=told)
    waiting = tuple(row for outcome in verdict.outcomes for row in outcome.waiting)
    if not draft and any(stops_all(problem) for problem in verdict.problems):
        road.remember()
        return Built(verdict, (), None, waiting=waiting)
    outputs, rows, problems = make_outputs(road, verdict, draft)
    if problems:
        return Built(verdict, tuple(problems), None, waiting=waiting)
    written = write_tree(target.tree, outputs)
    staff = {o.path.removeprefix(STAFF): o.data for o in _outputs(verdict) if o.path.startswith(STAFF)}
    written += write_tree(work / STAFF, staff)
    write_bytes(work / "manifest.json", manifest(rows))
    road.remember()
    pages = [name for name in outputs if name.endswith(".md")]
    kept = _kept_back(road, verdict)
    colophon = colophon_of(road.shared.museum)
    stamp = digest(json.dumps([stamp_of(root, target.tree, colophon), code_digest(), kept], sort_keys=True).encode())
    if site.is_dir() and _read_stamp(work / STAMP) == stamp:
        return Built(verdict, (), site, len(pages), written, waiting)
    say(f"{len(pages)} pages written to {target.tree.relative_to(root).as_posix()}; building the site")
    (work / STAMP).unlink(missing_ok=True)
    try:
        fresh, problems = build_site(root, target.tree, site, colophon, draft=draft, pages=pages)
    except GeneratorFailed as fault:
        mend = "mend the page it names; the last good site still stands"
        problem = Problem(
            "unreadable-file", f"the site generator stopped: {fault}", mend, severity=ERROR, place=Place("mkdocs.yml")
        )
        return Built(verdict, (problem,), None, len(pages), written, waiting)
    problems += _scan(road, kept, fresh)
    if problems:
        return Built(verdict, tuple(problems), None, len(pages), written, waiting)
    swap(fresh, site)
    write_bytes(work / STAMP, json.dumps({"stamp": stamp}).encode())
    return Built(verdict, (), site, len(pages), written, waiting, generated=True)


def stops_all(problem: Problem) -> bool:
    """Whether nothing at all may be published while it lasts; a fault of approval holds back its own piece alone."""
    check = find_check(problem.check)
    return problem.severity is ERROR and not (check and check.group == "approval")


def _outputs(verdict: Verdict) -> Iterator[Output]:
    return (output for outcome in verdict.outcomes for piece in outcome.composed for output in piece.outputs)


def write_drafts(root: Path, tree: Path, only: Iterable[str] | None, *, today: date) -> str:
    """Write a tree of drafts, of all records or those named, without a site; says what came of it. Raises OSError."""
    road = Road(root, today=today, remember=False, target=Target(True, tree))
    names = None if only is None else [name for name in only if name in road.workspace.folders]
    verdict = road.walk(names)
    outputs, _, problems = make_outputs(road, verdict, True)
    written = write_tree(tree, outputs)
    return f"{written} files written; {closing_line(verdict.summary)}" + "".join(
        f"\n{problem.place.file if problem.place else ''}: {problem.message}" for problem in problems
    )


def make_outputs(
    road: Road, verdict: Verdict, draft: bool
) -> tuple[dict[str, bytes | None], list[dict[str, Any]], list[Problem]]:
    """Every file of the tree, the rows of the manifest, and problems with prose."""
    outputs: dict[str, bytes | None] = {}
    rows: list[dict[str, Any]] = []
    problems: list[Problem] = []
    cards = []
    shelf = []
    for outcome in verdict.outcomes:
        for piece in outcome.composed:
            for output in piece.outputs:
                if output.path.startswith(TREE):
                    name = output.path.removeprefix(TREE)
                    outputs[name] = output.data
                    rows.append(_row(name, output.digest, piece, outcome, sorted(piece.sources)))
            files = [Download(o.path.removeprefix(TREE), o.title) for o in piece.outputs if o.title]
            shelf.append((piece.use, files))
            if piece.page is None:
                continue
            cards.append(piece.page)
            for name in piece.pictures:
                data = public_picture(name, road.workspace.folders[outcome.id][name])
                outputs[f"specimens/{outcome.id}/{name}"] = data
                rows.append(_row(f"specimens/{outcome.id}/{name}", digest(data), piece, outcome, []))
    museum = road.shared.museum
    notice = museum.notice or ""
    sources = road.library.sources
    used = {key for card in cards for key in card["sources"]}
    entries = {key: road.entries.entry(csl_fields(sources[key])) for key in sources if key in used}
    pages = frozenset(card["record"] for card in cards)
    pieces = {(use["record"], use["piece"]): (use["title"], use["kind"]) for use, _ in shelf}
    corrections = correction_data(road.shared.corrections, museum, pieces)
    feed = render_feed(corrections, museum, draft=draft)
    if feed:
        outputs[FEED] = feed
    made = {
        "corrections.md": render_corrections(corrections, pages, notice=notice, draft=draft, feed=feed is not None),
        "educators.md": render_educators(shelf, pages, notice=notice, draft=draft),
        "presenters.md": render_presenters(shelf, pages, notice=notice, draft=draft),
        "specimens/index.md": render_specimens(cards, notice=notice, draft=draft),
        "beliefs.md": render_beliefs(cards, notice=notice, draft=draft),
        "sources.md": render_sources(sources, entries, cards, notice=notice, draft=draft),
        "glossary.md": render_glossary(road.library.glossary, notice=notice),
        "checks/index.md": render_checks(all_checks()),
    }
    made |= {f"checks/{check.name}.md": render_check(check) for check in all_checks()}
    for name, data in road.workspace.prose.items():
        if name in made:
            place = Place(f"{road.workspace.prose_folder}/{name}")
            problems.append(
                graded(
                    Problem("wrong-shape", f"`{name}` is a page that is made anew each time", "rename it", place=place)
                )
            )
        elif name.endswith(".md"):
            text, found = render_prose(f"{road.workspace.prose_folder}/{name}", data, notice=notice, draft=draft)
            problems += [graded(problem) for problem in found]
            made[name] = text + (render_welcome(cards) if name == "index.md" and not found else "")
        else:
            outputs[name] = data if picture_fault(name, data) else public_picture(name, data)
    for name, text in made.items():
        outputs[name] = text.encode()
    for name, data in shipped("assets").items():
        outputs[f"assets/{name}"] = data
    listed = {row["output"] for row in rows}
    rows += [
        _row(name, digest(data), None, None, [])
        for name, data in outputs.items()
        if data is not None and name not in listed
    ]
    return outputs, rows, problems


def _row(
    output: str, content: str, piece: Composed | None, outcome: Outcome | None, sources: list[str]
) -> dict[str, Any]:
    document = piece.document if piece else ""
    made_from = hashlib.sha256(f"{content}\n{document}\n{code_digest()}".encode()).hexdigest()
    return {
        "output": output,
        "fingerprint": made_from,
        "document": document,
        "record": outcome.id if outcome else "",
        "approval": piece.standing.get("approval") if piece else None,
        "sources": sources,
    }


def _kept_back(road: Road, verdict: Verdict) -> dict[str, Any]:
    """All that is kept back, as plain data: where it changes, a site is searched anew though no page of it changed."""
    known = road.library.public_surnames.union(
        *(authorities(outcome.staff_only["name"]["authority"]) for outcome in verdict.outcomes if outcome.staff_only)
    )
    records = {o.id: o.staff_only for o in verdict.outcomes if o.staff_only.get("objects")}
    return {"records": records, "surnames": sorted(known), "step": str(road.library.rules.coordinate_step)}


def sieve_of(road: Road, verdict: Verdict) -> Sieve | None:
    """What searches finished files for all that the records keep back; None where they keep back nothing."""
    return _sieve(_kept_back(road, verdict))


def _sieve(kept: dict[str, Any]) -> Sieve | None:
    records = {name: record_of_plain(plain) for name, plain in kept["records"].items()}
    known, step = frozenset(kept["surnames"]), Decimal(kept["step"])
    values = [
        value
        for name, record in records.items()
        for value in withheld_values(record, name, public_surnames=known, step=step)
    ]
    if not values:
        return None
    shown = frozenset[tuple[float, float]]().union(*(shown_points(record, step=step) for record in records.values()))
    return Sieve(values, shown=shown)


def _scan(road: Road, kept: dict[str, Any], fresh: Path) -> list[Problem]:
    """What of all that records keep back stands in the finished site."""
    sieve = _sieve(kept)
    if sieve is None:
        return []
    reference = {f"checks/{name}.html" for name in ("index", *(check.name for check in all_checks()))}
    return scan_site(fresh, sieve, road.workspace.records, reference=reference)


def _read_stamp(path: Path) -> str:
    try:
        return str(json.loads(path.read_bytes()).get("stamp", "")) if path.is_file() else ""
    except (OSError, ValueError, AttributeError, RecursionError):
        return ""
