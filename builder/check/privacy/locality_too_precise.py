"""locality-too-precise: see locality_too_precise.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.privacy.leak import find_leaks, problem_of
from builder.model.record import STEPS
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE = "locality-too-precise", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A place told more exactly than the object's `show` allows, or shown finer than the house rule."""
    step = case.rules.coordinate_step
    for key, thing in case.record.objects.items():
        if thing.locality and thing.locality.show in STEPS and STEPS[thing.locality.show] < step:
            message = (
                f"`show: {thing.locality.show}` is finer than the house's step of {step} degrees, which is used instead"
            )
            mend = f"write `show: {step}`, or change `coordinate_step` in museum.yml if the museum has decided so"
            yield Problem(NAME, message, mend, path=("objects", key, "locality", "show"), severity=WARNING)
    for hit, text in find_leaks(case, NAME):
        thing_id = hit.withheld.path[1]
        locality = case.record.objects[str(thing_id)].locality
        shown = locality.show if locality else "withheld"
        finer = shown in STEPS and STEPS[shown] < step
        limit = f"the house's step of {step} degrees" if finer else f"`show: {shown}`"
        message = f"“{hit.words}” tells more of where `{thing_id}` comes from than {limit} allows"
        yield problem_of(NAME, hit, text, message, "take it out, or name the county or a wider region")
