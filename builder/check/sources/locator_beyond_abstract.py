"""locator-beyond-abstract: see locator_beyond_abstract.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.sources.citation import find_citations
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "locator-beyond-abstract", ERROR, False
WITHIN = re.compile(
    r"""(?=.*\b(?:abstract|summary|title|r[ée]sum[ée]|zusammenfassung)\b)
    (?:(?:the|of|in|on|and|with|first|second|third|last|english|german|french|\w+[ ]language
    |abstract|summary|title|keywords|r[ée]sum[ée]|zusammenfassung
    |(?:p|pp|page|pages|sentence|sentences|line|lines|paragraph|par|para)\b\.?(?:\s?[\divxlc]+(?:\s?[-–]\s?[\divxlc]+)?)?
    |[,;:.()&])\s*)+""",
    re.IGNORECASE | re.VERBOSE,
)
"""A place in an abstract, or the page on which the abstract stands."""


def check(case: Case) -> Iterator[Problem]:
    """A locator inside a work of which only the abstract was read."""
    for cited in find_citations(case.record):
        source = case.library.sources.get(cited.source)
        if source is None or source.read != "abstract" or cited.locator is None:
            continue
        if not WITHIN.fullmatch(cited.locator):
            yield Problem(
                NAME,
                f"{cited.what} cites `{cited.locator}` of `{cited.source}`, of which only the abstract was read",
                f"write `locator: abstract`, or read that place and set `read: full` on `{cited.source}` in sources.yml",
                path=(*cited.path, "locator"),
            )
