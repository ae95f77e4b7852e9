"""incomplete-source: see incomplete_source.md"""

from collections.abc import Iterator

from builder.check.case import Shelf
from builder.model.source import Source
from builder.problem import ERROR, Problem

NAME, SEVERITY, WAIVABLE, SCOPE = "incomplete-source", ERROR, False, "library"

ARTICLES = frozenset({"article-journal", "article-magazine", "article-newspaper", "review", "review-book"})
INSIDE = ARTICLES | {"chapter", "paper-conference", "entry", "entry-dictionary", "entry-encyclopedia"}
WEB = frozenset({"webpage", "post", "post-weblog"})
UNDATED = WEB | {"manuscript", "classic", "collection", "periodical"}
"""Types of which many items bear no date; a page on the web is dated by the day on which it was seen."""
UNTITLED = frozenset({"personal_communication", "interview", "manuscript"})


def check(shelf: Shelf) -> Iterator[Problem]:
    """A source that something other than a lead rests on, and that nobody could look up from its entry."""
    library = shelf.library
    named = {drawn for key in shelf.resting for drawn in library.drawn_on(key)}
    for key, source in library.sources.items():
        if key in library.shared.broken:
            continue  # what was cut out of it is not missing
        if key in shelf.resting:
            missing = find_missing(source)
            mend = "add what the work itself says; until then only leads can cite it"
        elif key in named and not (source.title or _makers(source)):
            missing, mend = ["`author` or `title`"], "say whose work it is or what it is called, if only in brackets"
        else:
            continue
        if missing:
            words = f"{', '.join(missing[:-1])} and {missing[-1]}" if len(missing) > 1 else missing[0]
            yield Problem(NAME, f"`{key}` lacks {words}", mend, path=(key,), at_key=True)


def find_missing(source: Source) -> list[str]:
    """What an entry lacks, in the words of the file; nothing where it can be looked up.

    CSL itself asks only for `id` and `type`; what is asked here beyond that is our choice, near to what BibTeX asks of
    an article and a book. Old works and hearsay are held to what can be known of them.
    """
    kind, old = source.type, source.standing in ("historical", "hearsay")
    makers, missing = _makers(source), []
    if not makers and not source.title:
        missing.append("`author` or `title`")
    elif source.standing in ("first-hand", "review"):
        if not makers:
            missing.append("`author` or `editor`")
        if not source.title and kind not in UNTITLED:
            missing.append("`title`")
    dated = source.issued or source.original_date or (kind in UNDATED and (source.seen or source.accessed or old))
    if not dated and not old:
        missing.append("`issued`")
    if kind in INSIDE and not source.container_title and not (kind == "paper-conference" and source.event_title):
        missing.append("`container-title`")
    if kind == "book" and not source.publisher and not old:
        missing.append("`publisher`")
    if kind in WEB and not (source.URL or source.DOI or source.archive_location) and not (old and source.archive):
        missing.append("`URL`")
    elif not _can_be_found(source, old=old) and "`publisher`" not in missing:
        missing.append(
            "`volume`, `page` or `DOI`"
            if kind in ARTICLES
            else "`DOI`, `ISBN`, `URL`, `publisher` or `archive_location`"
        )
    return missing


def _makers(source: Source) -> bool:
    return bool(source.author or source.editor or source.director or source.interviewer or source.translator)


def _can_be_found(source: Source, *, old: bool) -> bool:
    """Whether a reader can get hold of the work: by a number, an address, an archive, a publisher or a volume."""
    if source.DOI or source.ISBN or source.URL or source.PMID or source.PMCID or source.publisher:
        return True
    if source.archive and (source.archive_location or old or source.type == "personal_communication"):
        return True
    if not source.container_title:
        return source.type == "personal_communication"
    parts = (source.volume, source.issue, source.page, source.number, source.issued)
    return old or sum(part is not None for part in parts) >= (2 if source.type == "article-journal" else 1)
