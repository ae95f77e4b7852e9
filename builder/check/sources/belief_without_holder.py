"""belief-without-holder: see belief_without_holder.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, Path, Problem

NAME, SEVERITY, WAIVABLE = "belief-without-holder", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A belief, in a claim that is no lead, with no source that shows who holds it."""
    broken = case.subject.loaded.broken
    for key, claim in case.record.claims.items():
        path: Path = ("claims", key, "belief")
        if claim.lead or not claim.belief or claim.held_by:
            continue
        if ("claims", key, "held_by") in broken or ("claims", key, "lead") in broken:
            continue
        yield Problem(
            NAME,
            f"claim `{key}` answers a belief, but no source shows that anybody holds it",
            "add `held_by: [{source: …, locator: …}]`; take `belief` out where you find nobody, "
            "or keep the claim back with `lead: true`",
            path=path,
        )
