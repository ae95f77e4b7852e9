"""What a sentence rests on: the words and the numbers of the claims and anatomy notes that vouch for it.

In: a case and a sentence. Out: a `Ground`, put together once for each claim and note of a run. Leads and other claims
are read alike: whether a claim may be marked at all is told elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property, partial, reduce

from builder.check.case import Case
from builder.model.piece import Sentence
from builder.model.record import (
    Anatomy,
    AnatomyEvidence,
    Calculation,
    CalculationEvidence,
    Citation,
    Claim,
    DietEvidence,
    Record,
)  # fmt: skip
from builder.problem import Place
from builder.resolve import claim_node
from builder.weigh.date import parse_date
from builder.weigh.number import Quantity, find_quantities, make_known

_MONTH_NAMES = "January February March April May June July August September October November December"
MONTHS = tuple(_MONTH_NAMES.split())


@dataclass(frozen=True)
class Ground:
    """Words we stand by (`texts`), words of those who tell a belief (`told`), numbers given as such (`values`), the
    sources named, the dates they bear, and what a range may be taken from besides (`intervals`)."""

    texts: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    values: tuple[Quantity, ...] = ()
    sources: frozenset[str] = frozenset()
    dates: tuple[str, ...] = ()
    intervals: tuple[Quantity, ...] = ()

    def __add__(self, other: Ground) -> Ground:
        return Ground(
            self.texts + other.texts,
            self.told + other.told,
            self.values + other.values,
            self.sources | other.sources,
            self.dates + other.dates,
            self.intervals + other.intervals,
        )

    @cached_property
    def numbers(self) -> tuple[tuple[str, Quantity], ...]:
        """Every number there is, with the words that state it, or none where it is only the year of a source."""
        found = [(f"{value.low:f}", value) for value in self.values]
        for text in (*self.texts, *self.told):
            for quantity in find_quantities(text):
                found.append((" ".join(text[quantity.start : quantity.end].split()), quantity))
        for date in self.dates:
            read = parse_date(date)
            for year in (read.earliest_year, read.latest_year) if read else ():
                if year is not None:  # year 0 is 1 BC
                    found.append(("", make_known(Decimal(year if year > 0 else year - 1))))
        return tuple(found)


def grounds_of(case: Case, sentence: Sentence) -> tuple[Ground, ...]:
    """All that vouches for a sentence, mark by mark and cue by cue; nothing where one of them leads nowhere."""
    found: list[Ground] = []
    for mark in sentence.marks:
        claim, record = case.subject.claim(mark.target), case.subject.owner(mark.target)
        if claim is None or record is None:
            return ()
        make = partial(_claim_ground, case, record, claim, mark.target)
        found.append(_once(case, f"claim {mark.target}", make))
    for cue in sentence.cues:
        note = case.record.anatomy.get(cue)
        if note is None:
            return ()
        found.append(_once(case, f"note {cue}", partial(_note_ground, case, case.record, note)))
    return tuple(found)


def claim_place(case: Case, target: str) -> tuple[tuple[str, Place], ...]:
    """Where the claim that a mark names stands, for the second place of a problem."""
    node = claim_node(case.subject.id, target)
    loaded = case.subject.loaded if node.record == case.subject.id else case.library.fetch(node.record)
    if loaded is None:
        return ()
    file = f"{loaded.folder}/record.yml"
    spot = loaded.trees[file].find_spot(("claims", node.id), at_key=True)
    return ((f"claim `{target}`", Place(file, spot.line, spot.column, spot.length)),)


def _once(case: Case, key: str, make: Callable[[], Ground]) -> Ground:
    known = case.subject.remembered.get(key)
    if not isinstance(known, Ground):
        known = make()
        case.subject.remembered[key] = known
    return known


def _claim_ground(case: Case, record: Record, claim: Claim, target: str) -> Ground:
    parts: list[Ground] = []
    texts: list[str | None] = [claim.statement]
    told: list[str | None] = [claim.belief, claim.why]
    values: list[Quantity] = []
    sources: set[str] = set()
    for index, evidence in enumerate(claim.evidence):
        texts.append(evidence.finds)
        if isinstance(evidence, AnatomyEvidence):
            note = record.anatomy.get(evidence.anatomy)
            if note is not None:
                parts.append(_note_ground(case, record, note))
        elif isinstance(evidence, CalculationEvidence):
            calculation = record.calculations.get(evidence.calculation)
            if calculation is not None:
                parts.append(_calculation_ground(case, calculation))
        elif isinstance(evidence, DietEvidence):
            for limit, hedge in ((evidence.at_least, "at least"), (evidence.at_most, "at most")):
                if limit is not None:
                    values.append(replace(make_known(limit), hedge=hedge))
            test = case.weighed.tests.get((target, index))  # a claim of another record has a stop in its mark
            if test is not None and test.share is not None:
                share, low, high = (Decimal(f"{number:.4f}") for number in test.share[:3])
                values.append(make_known(share))
                parts.append(Ground(intervals=(make_known(low, high),)))
            diet = record.diet.get(evidence.diet)
            if diet is not None:
                values += [make_known(Decimal(count)) for count in (diet.examined, diet.empty) if count is not None]
                texts.append(diet.method)
                sources.add(diet.source)
        else:
            texts.append(evidence.quote)
            sources.add(evidence.source)
            if evidence.n is not None:
                values.append(make_known(Decimal(evidence.n)))
            if evidence.reports is not None:
                texts.append(f"{evidence.reports.share} of {evidence.reports.of}")
    for citation in claim.held_by:
        told += [citation.finds, citation.quote]
        sources.add(citation.source)
    for telling in claim.history:
        told.append(telling.told)
        sources.add(telling.source)
        if telling.year is not None:
            values.append(make_known(Decimal(telling.year)))
    names = tuple(filter(None, (record.name.authority, record.name.described_as)))  # the year a name was given
    return reduce(Ground.__add__, parts, _ground(case, texts, [*told, *names], values, sources))


def _note_ground(case: Case, record: Record, note: Anatomy) -> Ground:
    texts: list[str | None] = [note.term, note.look_for]
    for key in note.visible_on:
        thing = record.objects.get(key)
        if thing is not None:
            texts.append(thing.preparation)
            texts.append(_date_in_words(thing.collected))
            texts.append(_date_in_words(thing.identified.date if thing.identified else None))
    return _ground(case, texts + _words_of(note.sources), [], [], {citation.source for citation in note.sources})


def _calculation_ground(case: Case, calculation: Calculation) -> Ground:
    texts: list[str | None] = [calculation.question, calculation.means, calculation.result.says]
    says, unit = calculation.result.says, calculation.result.unit
    if says and unit != "count":
        texts.append(f"{says} {unit}")
    for quantity in calculation.inputs.values():
        texts += [quantity.value if quantity.unit == "count" else f"{quantity.value} {quantity.unit}", quantity.because]
    return _ground(case, texts, [], [], {given.source for given in calculation.inputs.values() if given.source})


def _words_of(citations: Iterable[Citation]) -> list[str | None]:
    return [text for citation in citations for text in (citation.finds, citation.quote)]


def _ground(
    case: Case, texts: Iterable[str | None], told: Iterable[str | None], values: Iterable[Quantity], sources: set[str]
) -> Ground:
    items = [item for key in sorted(sources) if (item := case.library.sources.get(key))]
    dates = tuple(date for item in items for date in (item.issued, item.original_date) if date)
    return Ground(tuple(filter(None, texts)), tuple(filter(None, told)), tuple(values), frozenset(sources), dates)


def _date_in_words(text: str | None) -> str | None:
    """A plain date as prose has it: 1887, May 1887, 3 May 1887."""
    read = parse_date(text) if text else None
    if read is None or read.first is None or read.last is None:
        return text
    first = read.first
    if first == read.last:
        return f"on {first.day} {MONTHS[first.month - 1]} {first.year}"
    if (first.year, first.month) == (read.last.year, read.last.month):
        return f"in {MONTHS[first.month - 1]} {first.year}"
    return f"in {first.year}" if first.year == read.last.year else f"in {first.year} to {read.last.year}"
