"""claim-without-source: see claim_without_source.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "claim-without-source", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A claim that is no lead, an input of a calculation or an anatomy note that nothing vouches for."""
    record, broken = case.record, case.subject.loaded.broken
    for key, claim in record.claims.items():
        if (
            not claim.lead
            and not claim.evidence
            and broken.isdisjoint({("claims", key, k) for k in ("lead", "evidence")})
        ):
            yield Problem(
                NAME,
                f"claim `{key}` names no evidence",
                "add `evidence: [{source: …, locator: …, finds: …, bears: …, basis: …}]`, or `lead: true` to hold back",
                path=("claims", key),
                at_key=True,
            )
    for key, note in record.anatomy.items():
        if not note.visible_on and not note.sources and not any(path[:2] == ("anatomy", key) for path in broken):
            yield Problem(
                NAME,
                f"anatomy note `{key}` shows on no object and names no source",
                "name the objects it shows on under `visible_on`, or a source that describes it under `sources`",
                path=("anatomy", key),
                at_key=True,
            )
    for key, calculation in record.calculations.items():
        for name, given in calculation.inputs.items():
            if given.source is None and given.because is None:
                yield Problem(
                    NAME,
                    f"nothing says where the input `{name}` of calculation `{key}` comes from",
                    "add `source:` and `locator:`, or `because:` where it is so by definition or choice",
                    path=("calculations", key, "inputs", name),
                    at_key=True,
                )
