"""private-name-shown: see private_name_shown.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.privacy.leak import find_leaks, problem_of
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "private-name-shown", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """The name of a collector or donor who is not to be shown, in a text that becomes public."""
    for hit, text in find_leaks(case, NAME):
        role = hit.withheld.path[2]
        message = f"“{hit.words}” names the {role} of the object `{hit.withheld.path[1]}`, who is not to be shown"
        mend = f"take the name out; or write `show: yes` at the {role} if the person, or the heirs, have agreed"
        yield problem_of(NAME, hit, text, message, mend)
