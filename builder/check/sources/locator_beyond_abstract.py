"""locator-beyond-abstract: see locator_beyond_abstract.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.sources.citation import find_citations
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "locator-beyond-abstract", ERROR, False
WITHIN = re.compile(r"\b(?:abstract|summary|title|r[ée]sum[ée]|zusammenfassung)\b", re.IGNORECASE)
BEYOND = re.compile(
    r"""\b(?:tables?|fig(?:ure)?s?|appendix|chapter|section|plate|box|note|equation|supplement\w*)\b\.?\s*(?:S?\d|[ivxlc]+\b)
    |\b(?:methods?|results|discussion|introduction|conclusions?|appendix|supplement\w*)\b
    |(?:;|&|\+|\band\b)\s*(?:p|pp|pages?)\b\.?\s*\d""",
    re.IGNORECASE | re.VERBOSE,
)
"""What no abstract has. The page on which the abstract stands may be named with it: `p. 7, abstract`."""


def check(case: Case) -> Iterator[Problem]:
    """A locator inside a work of which only the abstract was read."""
    for cited in find_citations(case):
        source = case.library.sources.get(cited.source)
        if source is None or source.read != "abstract" or cited.locator is None:
            continue
        if not WITHIN.search(cited.locator) or BEYOND.search(cited.locator):
            yield Problem(
                NAME,
                f"{cited.what} cites `{cited.locator}` of `{cited.source}`, of which only the abstract was read",
                f"write `locator: abstract`, or read that place and set `read: full` at `{cited.source}`",
                path=(*cited.path, "locator"),
            )
