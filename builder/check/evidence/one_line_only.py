"""one-line-only: see one_line_only.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.model.record import SourceEvidence
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE = "one-line-only", WARNING, True


def check(case: Case) -> Iterator[Problem]:
    """A claim that cites several works, all of which rest on one."""
    for key, claim in case.record.claims.items():
        weight = case.weighed.claims.get(key)
        if claim.lead or weight is None or len(weight.lines) != 1:
            continue
        line = weight.lines[0]
        cited = [evidence.source for evidence in claim.evidence if isinstance(evidence, SourceEvidence)]
        works = list(dict.fromkeys(source for source in cited if source in {item.key for item in line.items}))
        if len(works) < 2:
            continue
        listed = ", ".join(f"`{work}`" for work in works)
        root = line.root.removeprefix("object ")
        message = f"claim `{key}` cites {listed}, and all of them rest on `{root}`: one line of evidence"
        mend = "say so in the text, or find evidence that does not go back to it"
        yield Problem(NAME, message, mend, path=("claims", key, "evidence"), at_key=True)
