"""diet-test-fails: see diet_test_fails.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.load.shape import suggest
from builder.model.record import DietEvidence
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE = "diet-test-fails", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A share that the diet table refutes, or cannot decide at its size; a kind of prey that it does not name."""
    for (key, index), test in case.weighed.tests.items():
        claim = case.record.claims[key]
        evidence = claim.evidence[index]
        if claim.lead or not isinstance(evidence, DietEvidence):
            continue
        path = ("claims", key, "evidence", index)
        result = case.weighed.diets[evidence.diet]
        side = "group" if evidence.group else "prey"
        kinds = [kind.name for kind in (result.groups if evidence.group else result.prey).kinds]
        name = evidence.group or evidence.prey
        guess = suggest(str(name), kinds)
        if name not in kinds and (guess or evidence.at_most is None):
            message = f"the table of `{evidence.diet}` has no {side} `{name}`{guess}"
            yield Problem(NAME, message, f"write one of: {', '.join(kinds)}", path=(*path, side))
        elif test.verdict == "refuted":
            mend = "say what the table shows, or look at the rows it rests on"
            yield Problem(NAME, f"claim `{key}`: {test.reason}", mend, path=path)
        elif test.verdict == "undecided" and not test.absence:
            mend = "ask for less, or say in the text how wide the margin is"
            if test.samples_needed:
                mend += f"; about {test.samples_needed} samples with food would decide it"
            yield Problem(NAME, f"claim `{key}`: {test.reason}", mend, path=path, severity=WARNING)
