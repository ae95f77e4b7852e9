"""The library: ids to things, across records.

In: what all records share and a way to fetch any one record. Out: `Library`, which finds sources, claims and other
records, and `Subject`, one record with all that it refers to within reach.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from builder.load import Loaded, Shared
from builder.load.shape import suggest
from builder.model.museum import HouseRules, Museum
from builder.model.piece import Sentence
from builder.model.record import Claim, Record
from builder.model.source import Source
from builder.problem import Place, Problem
from builder.resolve.reference import Node, Reference, find_references

SHARED_FILES = {"source": "sources.yml", "collection": "museum.yml", "person": "museum.yml"}


@dataclass(frozen=True)
class Library:
    """What every record may refer to. `fetch` reads another record when one is asked for; None where there is none."""

    shared: Shared
    record_ids: tuple[str, ...]
    fetch: Callable[[str], Loaded | None]
    folder: str = ""

    @property
    def museum(self) -> Museum:
        return self.shared.museum

    @property
    def rules(self) -> HouseRules:
        return self.shared.museum.house_rules

    @property
    def sources(self) -> Mapping[str, Source]:
        return self.shared.sources

    @property
    def glossary(self) -> Mapping[str, str]:
        return self.shared.glossary

    @cached_property
    def public_surnames(self) -> frozenset[str]:
        """Surnames that stand in public anyway: those of the people of the museum and of cited authors."""
        from builder.resolve.privatename import known_surnames

        names = [person.name for person in self.museum.people.values()]
        for source in self.sources.values():
            people = (*source.author, *source.editor, *source.translator)
            names += [person.family or person.literal or "" for person in people]
        return known_surnames(names)

    def drawn_on(self, source: str) -> Iterator[str]:
        """Every source that this one rests on, itself first, each once; ids that lead nowhere are passed over."""
        seen, waiting = {source}, [source]
        while waiting:
            here = waiting.pop()
            if here not in self.sources:
                continue
            yield here
            for other in self.sources[here].draws_on or ():
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)


@dataclass(frozen=True)
class Subject:
    """One record as the later stages see it: itself, its references, and the library."""

    loaded: Loaded
    record: Record
    library: Library
    references: tuple[Reference, ...]
    remembered: dict[str, object] = field(default_factory=dict)

    @property
    def id(self) -> str:
        return self.loaded.id

    def claim(self, target: str) -> Claim | None:
        """The claim a mark names, here or in another record; None where it leads nowhere."""
        owner = self.owner(target)
        return owner.claims.get(target.partition(".")[2] or target) if owner else None

    def owner(self, target: str) -> Record | None:
        """The record whose claim a mark names."""
        home, dot, _ = target.partition(".")
        if not dot or home == self.id:
            return self.record
        other = self.library.fetch(home)
        return other.record if other else None

    @cached_property
    def marked(self) -> frozenset[str]:
        """Ids of this record's claims that some text of it marks."""
        return frozenset(
            r.target.id for r in self.references if r.target.kind == "claim" and r.target.record == self.id
        )

    def claims_of(self, sentence: Sentence) -> tuple[tuple[str, Claim], ...]:
        """The claims that vouch for a sentence, by mark; marks that lead nowhere are passed over."""
        pairs = ((mark.target, self.claim(mark.target)) for mark in sentence.marks)
        return tuple((target, claim) for target, claim in pairs if claim is not None)

    @cached_property
    def resting_sources(self) -> frozenset[str]:
        """The sources that something other than a lead, or a calculation that only leads name, rests on."""
        leads = {Node("claim", self.id, key) for key, claim in self.record.claims.items() if claim.lead}
        leads |= {Node("calculation", self.id, key) for key in self.record.held_back}
        return frozenset(r.target.id for r in self.references if r.target.kind == "source" and r.user not in leads)

    @cached_property
    def other_records(self) -> frozenset[str]:
        """Ids of the other records that this one refers to."""
        return frozenset(r.target.record for r in self.references if r.target.record not in ("", self.id))


def resolve(loaded: Loaded, library: Library) -> tuple[Subject | None, tuple[Problem, ...]]:
    """Stage 2: find what a record refers to. Dangling references are problems; the record goes on without them."""
    if loaded.record is None:
        return None, ()
    subject = Subject(loaded, loaded.record, library, find_references(loaded))
    problems = [problem for reference in subject.references if (problem := _dangling(subject, reference))]
    return subject, tuple(problems)


def _dangling(subject: Subject, reference: Reference) -> Problem | None:
    target = reference.target
    known = _known(subject, target)
    if known is None or target.id in known:
        return None
    where = SHARED_FILES.get(target.kind)
    home = where or ("record.yml" if target.record == subject.id else f"the record `{target.record}`")
    kind = {"anatomy": "anatomy note", "diet": "diet table"}.get(target.kind, target.kind)
    if target.kind == "claim" and target.record != subject.id and not known:
        message = f"there is no record `{target.record}`{suggest(target.record, subject.library.record_ids)}"
    else:
        message = f"there is no {kind} `{target.id}` in {home}{suggest(target.id, known)}"
    section = {"anatomy": "anatomy", "diet": "diet", "person": "people"}.get(target.kind, f"{target.kind}s")
    mend = f"correct the id, or add `{target.id}` to {'`' + section + '` in ' if target.kind != 'source' else ''}{home}"
    also: tuple[tuple[str, Place], ...] = ()
    return Problem(
        "unknown-reference", message, mend, path=reference.path, spot=reference.spot, file=reference.file, also=also
    )


def _known(subject: Subject, target: Node) -> Collection[str] | None:
    """The ids that would do; None where the entry was there but had to be cut out, which was said before."""
    library, record = subject.library, subject.record
    if target.kind == "source":
        return None if target.id in library.shared.broken else library.sources
    if target.kind == "collection":
        return library.museum.collections or None
    if target.kind == "person":
        return library.museum.people or None
    loaded = subject.loaded
    if target.record != subject.id:
        other = library.fetch(target.record)
        if other is None or other.record is None:
            return () if other is None else None
        loaded, record = other, other.record
    section = {"anatomy": "anatomy", "diet": "diet"}.get(target.kind, f"{target.kind}s")
    if any(path[:2] == (section, target.id) or path == (section,) for path in loaded.broken):
        return None
    entries: Collection[str] = getattr(record, section)
    return entries
