"""absence-from-too-few: see absence_from_too_few.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.model.record import Claim, DietEvidence, SourceEvidence
from builder.problem import WARNING, Problem
from builder.weigh.proportion import sample_for_absence, upper_bound

NAME, SEVERITY, WAIVABLE = "absence-from-too-few", WARNING, True
ABSENT = re.compile(r"\b(?:no|none|never|nothing|absent|0 of|not (?:found|seen|one))\b", re.IGNORECASE)


def check(case: Case) -> Iterator[Problem]:
    """A claim that something is not there, from so few looks that it may well be."""
    limit = float(case.rules.absence)
    needed = sample_for_absence(limit)
    for key, claim in case.record.claims.items():
        if claim.lead or not claim.statement:
            continue
        looked = list(_looked(case, key, claim))
        if not looked:
            continue
        index, n = max(looked, key=lambda pair: pair[1])
        bound = upper_bound(0, n)
        if bound > limit:
            message = (
                f"claim `{key}` says that something is absent, from 0 of {n}: it may still be in {bound:.0%} "
                f"(one-sided 95 % limit), where the house allows {limit:.0%}"
            )
            mend = f"look at {needed} or more, or say how many were looked at"
            yield Problem(NAME, message, mend, path=("claims", key, "evidence", index))


def _looked(case: Case, key: str, claim: Claim) -> Iterator[tuple[int, int]]:
    """The samples in which something was looked for and not found: place in the evidence, and how many."""
    denied = ABSENT.search(claim.statement or "") is not None
    for index, evidence in enumerate(claim.evidence):
        if isinstance(evidence, SourceEvidence):
            if denied and evidence.n and ABSENT.search(evidence.finds) and evidence.basis not in ("account", "review"):
                yield index, evidence.n
        elif isinstance(evidence, DietEvidence) and evidence.at_most is not None:
            test = case.weighed.tests.get((key, index))
            if test and test.absence and test.samples:
                yield index, test.samples
