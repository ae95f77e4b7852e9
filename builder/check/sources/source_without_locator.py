"""source-without-locator: see source_without_locator.md"""

import re
from collections.abc import Iterator

from builder.check.case import Case
from builder.check.sources.citation import find_citations
from builder.model.source import Source
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE = "source-without-locator", ERROR, False
LONG = (
    "book",
    "chapter",
    "classic",
    "collection",
    "legislation",
    "legal_case",
    "periodical",
    "report",
    "thesis",
    "treaty",
)
"""Types of work in which `whole` leads nowhere."""
NOWHERE = re.compile(
    r"""(?:passim|various(?:\s(?:pages|places|chapters))?|several\s(?:pages|places)|see\s(?:text|above|below)|ibid|id
    |op\.?\s?cit|loc\.?\s?cit|n/?a|none|unknown|not\s(?:known|seen|given)|somewhere|t\.?b\.?[acd]|to\s(?:do|come)|todo
    |p{1,2}|pages?|chapters?|ch|figs?|figures?|tables?|et\sseq|ff?|[?…._\-–—]+)\.?""",
    re.IGNORECASE | re.VERBOSE,
)
WHOLE = re.compile(r"(?:the )?(?:whole|entire|full)(?: \w+)?|throughout|all(?: of it)?|everywhere", re.IGNORECASE)


def check(case: Case) -> Iterator[Problem]:
    """A source cited without saying where in it, or with words that lead nowhere."""
    for cited in find_citations(case):
        source = case.library.sources.get(cited.source)
        if source is None:
            continue
        if cited.locator is None:
            message = f"{cited.what} cites `{cited.source}` without saying where in it"
            yield Problem(NAME, message, _mend(source), path=(*cited.path, "source"))
        elif NOWHERE.fullmatch(cited.locator) or (source.type in LONG and WHOLE.fullmatch(cited.locator)):
            message = f"`{cited.locator}` does not lead to a place in `{cited.source}`, which {cited.what} cites"
            yield Problem(NAME, message, _mend(source), path=(*cited.path, "locator"))


def _mend(source: Source) -> str:
    """What to write, by what kind of work it is."""
    if source.read == "abstract":
        return "add `locator: abstract`, for no more than the abstract was read"
    if source.type in ("webpage", "post", "post-weblog"):
        return "add `locator:` with the heading it stands under, or `whole page` where it is short"
    if source.type in ("motion_picture", "broadcast", "song", "speech", "performance"):
        return "add `locator:` with the time it is heard or seen, such as `12:30`"
    if source.type == "dataset":
        return "add `locator:` with the table, sheet or rows, or `whole table`"
    return "add `locator:` with the page, table, figure, chapter or section, such as `p. 104` or `table 2`"
