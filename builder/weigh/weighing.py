"""Stage 3, weigh: hands the plain values of one record to the pure functions of this folder.

In: a resolved record. Out: what each claim's evidence is worth. The only module here that knows records; the others
take plain values, so that each can be read and tested alone.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

from builder.load.table import Table
from builder.model.record import (
    AnatomyEvidence,
    Calculation,
    CalculationEvidence,
    Claim,
    Diet,
    DietEvidence,
    Record,
    SourceEvidence,
)
from builder.problem import Problem, Spot
from builder.resolve import Library, Subject, resolve
from builder.weigh.calculation import CalcFault, Result, evaluate
from builder.weigh.confidence import Weight, weigh_lines
from builder.weigh.diet import RESAMPLES, DietResult, weigh_diet
from builder.weigh.diet_claim import ShareTest, judge_share
from builder.weigh.diet_plain import as_plain, from_plain
from builder.weigh.diet_table import read_table
from builder.weigh.lines import Basis, Item, Line, count_lines, source_roots, unknown_origins


@dataclass(frozen=True)
class Origins:
    """What the sources of the library finally rest on: worked out once for all records."""

    library: Library

    @cached_property
    def roots(self) -> dict[str, frozenset[str]]:
        """The roots of every source."""
        return dict(source_roots({key: source.draws_on for key, source in self.library.sources.items()}))

    @cached_property
    def unknown(self) -> frozenset[str]:
        """Roots of unknown origin. An id that is no source is told of elsewhere and not weighed as an origin."""
        draws_on = {key: source.draws_on for key, source in self.library.sources.items()}
        return frozenset(unknown_origins(draws_on))

    def of(self, sources: Iterable[str]) -> frozenset[str]:
        """The roots of several sources together; ids that lead nowhere have none."""
        return frozenset().union(*(self.roots[source] for source in sources if source in self.library.sources))


class Known(Protocol):
    """Results of diet tables that were weighed before, in their plain form, by the key of the table."""

    def get(self, key: str) -> Any:
        """The plain form, or None."""

    def keep(self, key: str, entry: Any) -> None:
        """Note a plain form."""


@dataclass(frozen=True)
class Weighed:
    """What one record's evidence is worth, by claim. Leads are weighed too: their worth is why they wait.

    `others` are the claims of other records that this one's texts mark, by record and claim; `diets` the results of
    the diet tables that can be read; `tests` what those say to the claims that ask them, by claim and place in its
    evidence; `calculations` what each comes to, or why it comes to nothing; `beliefs` the lines behind each belief: the
    works that hold or tell it, those that go back to one counted once; `tables` the keys of the tables behind `diets`.
    """

    claims: dict[str, Weight] = field(default_factory=dict)
    others: dict[tuple[str, str], Weight] = field(default_factory=dict)
    diets: dict[str, DietResult] = field(default_factory=dict)
    tests: dict[tuple[str, int], ShareTest] = field(default_factory=dict)
    calculations: dict[str, Result | CalcFault] = field(default_factory=dict)
    beliefs: dict[str, tuple[Line, ...]] = field(default_factory=dict)
    tables: dict[str, str] = field(default_factory=dict)


def weigh(subject: Subject, origins: Origins, known: Known | None = None) -> tuple[Weighed, tuple[Problem, ...]]:
    """Weigh every claim, diet table and calculation of a record. Faults of a table are problems in its file.

    A table whose result is `known` is not weighed again; the results of the others are made known.
    """
    claims = {key: _weigh_claim(subject, origins, claim) for key, claim in subject.record.claims.items()}
    others = {}
    for reference in subject.references:
        target = reference.target
        if target.kind == "claim" and target.record != subject.id and (target.record, target.id) not in others:
            loaded = subject.library.fetch(target.record)
            other = resolve(loaded, subject.library)[0] if loaded else None
            claim = other.record.claims.get(target.id) if other else None
            if other and claim:
                others[(target.record, target.id)] = _weigh_claim(other, origins, claim)
    tables = {key: table_key(table, subject.record.diet[key]) for key, table in subject.loaded.tables.items()}
    diets, problems = _weigh_diets(subject, tables, known)
    tests = dict(_test_shares(subject.record, diets))
    calculations = {key: _calculate(calculation) for key, calculation in subject.record.calculations.items()}
    beliefs = {
        key: count_lines(_tellers(subject, origins, claim), unknown=origins.unknown)
        for key, claim in subject.record.claims.items()
        if claim.belief
    }
    tables = {key: tables[key] for key in diets}
    return Weighed(claims, others, diets, tests, calculations, beliefs, tables), tuple(problems)


def _tellers(subject: Subject, origins: Origins, claim: Claim) -> Iterator[Item]:
    """The works that hold or tell a belief, each once."""
    told = (*(citation.source for citation in claim.held_by), *(telling.source for telling in claim.history))
    for source in dict.fromkeys(told):
        if source in subject.library.sources:
            roots = origins.of([source])
            yield Item(source, roots, "for", "account", own=source in roots)


def _calculate(calculation: Calculation) -> Result | CalcFault:
    inputs = {name: (given.value, given.unit) for name, given in calculation.inputs.items()}
    return evaluate(calculation.result.is_, inputs, calculation.result.unit)


def table_key(table: Table, diet: Diet) -> str:
    """A digest of all that a table's result depends on but the program: the table, and what the record says of it."""
    told = [sorted(table.columns.items()), diet.cluster, diet.examined, diet.empty, RESAMPLES]
    return hashlib.blake2b(json.dumps(told).encode(), digest_size=20).hexdigest()


def _weigh_diets(
    subject: Subject, tables: Mapping[str, str], known: Known | None
) -> tuple[dict[str, DietResult], list[Problem]]:
    results: dict[str, DietResult] = {}
    problems: list[Problem] = []
    for key, table in subject.loaded.tables.items():
        diet = subject.record.diet[key]
        remembered = from_plain(known.get(tables[key])) if known else None
        if remembered:  # it stands for a table without fault
            results[key] = remembered
            continue
        read, faults = read_table(
            table.columns,
            cluster=diet.cluster,
            examined=diet.examined,
            empty=diet.empty,
            row_numbers=table.rows,
        )
        for fault in faults:
            spot = _cell(table, fault.row, fault.column)
            problems.append(Problem("bad-diet-table", fault.message, fault.mend, spot=spot, file=diet.table))
        if read is not None and not faults:
            results[key] = weigh_diet(read)
            if known:
                known.keep(tables[key], as_plain(results[key]))
    return results, problems


def _cell(table: Table, row: int | None, column: str | None) -> Spot:
    if row is None:
        return Spot(1, 1)
    if column is not None and column in table.columns and row in table.rows:
        return Spot(*table.find_cell(table.rows.index(row), column))
    return Spot(row, 1)


def _test_shares(record: Record, diets: Mapping[str, DietResult]) -> Iterator[tuple[tuple[str, int], ShareTest]]:
    for key, claim in record.claims.items():
        for index, evidence in enumerate(claim.evidence):
            if isinstance(evidence, DietEvidence) and evidence.diet in diets:
                name = evidence.group or evidence.prey
                if name is None:
                    continue
                at_least, at_most = (
                    None if bound is None else float(bound) for bound in (evidence.at_least, evidence.at_most)
                )
                yield (
                    (key, index),
                    judge_share(
                        diets[evidence.diet],
                        name,
                        evidence.measure,
                        at_least=at_least,
                        at_most=at_most,
                        of="group" if evidence.group else "prey",
                    ),
                )


def _weigh_claim(subject: Subject, origins: Origins, claim: Claim) -> Weight:
    lines = count_lines(_items(subject, origins, claim), unknown=origins.unknown)
    return weigh_lines(lines, adequate_sample=subject.library.rules.sample)


def _items(subject: Subject, origins: Origins, claim: Claim) -> Iterable[Item]:
    record = subject.record
    for evidence in claim.evidence:
        if isinstance(evidence, SourceEvidence):
            source = subject.library.sources.get(evidence.source)
            if source is None:
                continue
            roots = origins.of([evidence.source])
            own = evidence.source in roots
            first_hand = source.standing == "first-hand"
            yield Item(evidence.source, roots, evidence.bears, evidence.basis, first_hand, evidence.n, own)
        elif isinstance(evidence, DietEvidence):
            diet = record.diet.get(evidence.diet)
            if diet is None:
                continue
            full = None if diet.examined is None else diet.examined - (diet.empty or 0)
            roots = origins.of([diet.source])
            yield Item(
                f"diet {evidence.diet}",
                roots,
                evidence.bears,
                "measurement",
                _first_hand(subject, [diet.source]),
                full,
                diet.source in roots,
            )
        elif isinstance(evidence, AnatomyEvidence):
            note = record.anatomy.get(evidence.anatomy)
            if note is None:
                continue
            objects = frozenset(f"object {subject.id}/{key}" for key in note.visible_on if key in record.objects)
            roots = objects | origins.of(citation.source for citation in note.sources)
            yield Item(
                f"anatomy {evidence.anatomy}", roots, evidence.bears, "specimen", bool(objects), None, bool(objects)
            )
        elif isinstance(evidence, CalculationEvidence):
            yield from _calculation(subject, origins, record, evidence)


def _calculation(subject: Subject, origins: Origins, record: Record, evidence: CalculationEvidence) -> Iterable[Item]:
    calculation = record.calculations.get(evidence.calculation)
    if calculation is None:
        return
    sources = [given.source for given in calculation.inputs.values() if given.source]
    basis: Basis = "measurement" if _first_hand(subject, sources) else "account"
    yield Item(f"calculation {evidence.calculation}", origins.of(sources), evidence.bears, basis)


def _first_hand(subject: Subject, sources: Iterable[str]) -> bool:
    found = [subject.library.sources[key] for key in sources if key in subject.library.sources]
    return bool(found) and all(source.standing == "first-hand" for source in found)
