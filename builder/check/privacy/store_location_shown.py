"""store-location-shown: see store_location_shown.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.privacy.leak import find_leaks, problem_of
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "store-location-shown", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """Where an object stands in the store, in a text that becomes public."""
    for hit, text in find_leaks(case, NAME):
        thing = hit.withheld.path[1]
        message = f"“{hit.words}” tells where the object `{thing}` stands in the store"
        yield problem_of(NAME, hit, text, message, "take it out; where things stand belongs in `store:` alone")
