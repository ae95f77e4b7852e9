"""absence-from-too-few: see absence_from_too_few.md"""

import math
import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.load.shape import suggest
from builder.model.record import Claim, DietEvidence, SourceEvidence
from builder.problem import WARNING, Problem
from builder.weigh.proportion import sample_for_absence, upper_bound
from builder.weigh.wording import has_negation

NAME, SEVERITY, WAIVABLE = "absence-from-too-few", WARNING, True
NOUGHT = re.compile(
    r"\b(?:no(?! (?:more|less|fewer|longer|later|sooner|doubt)\b)|none|never|nothing|absent|0 of"
    r"|not (?:found|seen|met|one|any|a single))\b",
    re.IGNORECASE,
)
ABSENT = re.compile(r"\babsen(?:t|ce)\b", re.IGNORECASE)
NO_SHARE = re.compile(r"0+(?:\.0+)?\s*(?:%|per ?cent)?")


def check(case: Case) -> Iterator[Problem]:
    """A claim that something is not there, from so few looks that it may well be."""
    for key, claim in case.record.claims.items():
        if claim.lead or not claim.statement:
            continue
        looked = list(_looked(case, key, claim))
        if not looked:
            continue
        index, n, limit = max(looked, key=lambda entry: entry[1])
        bound = upper_bound(0, n)
        if bound > limit:
            asks = "the house allows" if limit == float(case.rules.absence) else "the claim allows"
            message = (
                f"claim `{key}` says that something is absent, from 0 of {n}: it may still be in "
                f"{math.ceil(1000 * bound) / 10:.1f} % (one-sided 95 % limit), where {asks} {100 * limit:.4g} %"
            )
            fewest = sample_for_absence(limit)
            more = f"look at {fewest} or more" if fewest else "allow a share that a sample can rule out"
            mend = f"{more}, or say how many were looked at"
            yield Problem(NAME, message, mend, path=("claims", key, "evidence", index))


def _looked(case: Case, key: str, claim: Claim) -> Iterator[tuple[int, int, float]]:
    """What was looked for and not found: place in the evidence, how many looks, and the share that is allowed."""
    house = float(case.rules.absence)
    statement = claim.statement or ""
    denied = has_negation(statement) or ABSENT.search(statement) is not None
    for index, evidence in enumerate(claim.evidence):
        if isinstance(evidence, SourceEvidence):
            if not denied or evidence.basis in ("account", "review"):
                continue
            reported = evidence.reports
            if reported and NO_SHARE.fullmatch(reported.share.strip()):
                yield index, reported.of, house
            elif evidence.n and NOUGHT.search(evidence.finds):
                yield index, evidence.n, house
        elif isinstance(evidence, DietEvidence) and evidence.at_most is not None:
            test = case.weighed.tests.get((key, index))
            if test and test.absence and test.samples and test.verdict != "borne out" and not _misspelt(case, evidence):
                yield index, test.samples, float(evidence.at_most) or house


def _misspelt(case: Case, evidence: DietEvidence) -> bool:
    result = case.weighed.diets[evidence.diet]
    kinds = (result.groups if evidence.group else result.prey).kinds
    return bool(suggest(str(evidence.group or evidence.prey), [kind.name for kind in kinds]))
