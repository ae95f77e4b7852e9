"""claim-without-source: see claim_without_source.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "claim-without-source", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A claim with no evidence, unless it is a lead."""
    for key, claim in case.record.claims.items():
        if not claim.lead and not claim.evidence:
            yield Problem(
                NAME,
                f"claim `{key}` names no evidence",
                "add `evidence: [{source: …, locator: …, finds: …, bears: …, basis: …}]`, or `lead: true` to keep it back",
                path=("claims", key),
                at_key=True,
            )
