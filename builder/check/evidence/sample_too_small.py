"""sample-too-small: see sample_too_small.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.model.record import SourceEvidence
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE = "sample-too-small", WARNING, True
COUNTED = ("measurement", "experiment")


def check(case: Case) -> Iterator[Problem]:
    """A claim whose only line of evidence is a measurement or experiment on too few."""
    enough = case.rules.sample
    for key, claim in case.record.claims.items():
        weight = case.weighed.claims.get(key)
        if claim.lead or weight is None or len(weight.lines) != 1:
            continue
        counted = [
            (index, evidence.n)
            for index, evidence in enumerate(claim.evidence)
            if isinstance(evidence, SourceEvidence) and evidence.basis in COUNTED and evidence.n is not None
        ]
        if counted and all(n < enough for _, n in counted):
            index, n = max(counted, key=lambda pair: pair[1])
            message = f"claim `{key}` rests on a sample of {n} alone; the house asks for {enough}"
            mend = f"say in the text how many it was, or find evidence from {enough} or more"
            yield Problem(NAME, message, mend, path=("claims", key, "evidence", index, "n"))
