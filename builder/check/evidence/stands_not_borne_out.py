"""stands-not-borne-out: see stands_not_borne_out.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.confidence import compare_stands, name_improvements

NAME, SEVERITY, WAIVABLE = "stands-not-borne-out", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A claim that declares more than its evidence bears out, or less."""
    for key, claim in case.record.claims.items():
        weight = case.weighed.claims.get(key)
        if claim.lead or not claim.evidence or claim.stands is None or weight is None:
            continue
        difference = compare_stands(claim.stands, weight.stands)
        if difference == "the same":
            continue
        count = len(weight.lines)
        lines = f"{count} line{'' if count == 1 else 's'}, {weight.evidence} evidence, {weight.agreement} agreement"
        message = f"claim `{key}` declares `{claim.stands}`; its evidence says `{weight.stands}` ({lines})"
        wanted = "; ".join(name_improvements(weight)[:2])
        if difference == "more":
            mend = f"write `stands: {weight.stands}`" + (f", or add {wanted}" if wanted else "")
        else:
            mend = f"write `stands: {weight.stands}`, or leave it if you have a reason to say less"
        severity = ERROR if difference == "more" else WARNING
        yield Problem(NAME, message, mend, path=("claims", key, "stands"), severity=severity)
