"""bad-identifier: see bad_identifier.md"""

from collections.abc import Iterator
from urllib.parse import urlsplit

from builder.check.case import Case, Shelf
from builder.check.files.amend import bad_dates
from builder.model.source import Source
from builder.problem import ERROR, WARNING, Path, Problem, Severity
from builder.weigh.date import date_fault, parse_date
from builder.weigh.identifier import Fault, doi_fault, doi_key, isbn_fault, issn_fault, orcid_fault
from builder.weigh.licence import LicenceFault, read_licence

NAME, SEVERITY, WAIVABLE = "bad-identifier", ERROR, False
MEND = "compare it with the title page or the publisher's page, and copy it from there"
NUMBERS = (("DOI", doi_fault), ("ISBN", isbn_fault), ("ISSN", issn_fault))
SOURCE_DATES = (("issued", "issued"), ("original_date", "original-date"), ("accessed", "accessed"), ("seen", "seen"))
DAY = "write it as `1985`, `1985-04` or `1985-04-12`"


def check(case: Case) -> Iterator[Problem]:
    """Dates of a record and of its pieces that cannot be read. The date of a waiver is judged with the waiver."""
    dates: list[tuple[Path, str | None, str]] = []
    for key, thing in case.record.objects.items():
        dates.append((("objects", key, "collected"), thing.collected, ""))
        if thing.identified:
            dates.append((("objects", key, "identified", "date"), thing.identified.date, ""))
        for name, hazard in thing.hazards.items():
            dates.append((("objects", key, "hazards", name, "checked"), hazard.checked, ""))
    dates += [(("claims", key, "recheck"), claim.recheck, "") for key, claim in case.record.claims.items()]
    dates += [(("date",), piece.front.date, f"{piece.id}.md") for piece in case.pieces.values()]
    for path, text, file in dates:
        fault = date_fault(text) if text else None
        if fault:
            yield Problem(NAME, f"`{path[-1]}`: {fault}", DAY, path=path, file=file)
    yield from _too_late(case)


def _too_late(case: Case) -> Iterator[Problem]:
    """Steps of a history in a year after the work that tells them was issued."""
    for key, claim in case.record.claims.items():
        for index, telling in enumerate(claim.history):
            source = case.library.sources.get(telling.source)
            issued = parse_date(source.issued) if source and source.issued else None
            last = issued.latest_year if issued else None
            if source and telling.year is not None and last is not None and telling.year > last:
                message = f"`year: {telling.year}` comes after `{telling.source}` was issued, {source.issued}"
                mend = "compare both with the title page; name the edition, or the other work, that tells it"
                path = ("claims", key, "history", index, "year")
                yield Problem(NAME, message, mend, path=path, severity=WARNING)


def check_shelf(shelf: Shelf) -> Iterator[Problem]:
    """Numbers, addresses and dates of sources, ORCID iDs of people, the museum's licence, days of corrections."""
    known: dict[str, str] = {}
    for key, source in shelf.library.sources.items():
        yield from _numbers(key, source)
        yield from _dates(shelf, key, source)
        if source.DOI:
            first = known.setdefault(doi_key(source.DOI), key)
            if first != key:
                message = f"`{key}` carries the same DOI as `{first}`: one work entered twice counts as two sources"
                mend = "keep one of the two entries and cite it in both places; or mend the DOI that is wrong"
                yield Problem(NAME, message, mend, path=(key, "DOI"), severity=WARNING)
    for key, person in shelf.library.museum.people.items():
        fault = orcid_fault(person.orcid) if person.orcid else None
        if fault:
            path = ("people", key, "orcid")
            mend = "copy it from the person's own page"
            yield Problem(NAME, fault.message, mend, path=path, file="museum.yml", severity=_grade(fault))
    licence = read_licence(shelf.library.museum.licence) if shelf.library.museum.licence else None
    if isinstance(licence, LicenceFault):
        message = f"`licence: {shelf.library.museum.licence}` {licence.message}"
        yield Problem(NAME, message, licence.mend, path=("licence",), file="museum.yml", severity=WARNING)
    yield from bad_dates(shelf, NAME)


def _numbers(key: str, source: Source) -> Iterator[Problem]:
    for name, judge in NUMBERS:
        text = getattr(source, name)
        fault = judge(text) if text else None
        if fault:
            message = fault.message if name in fault.message else f"the {name} {fault.message}"
            yield Problem(NAME, message, MEND, path=(key, name), severity=_grade(fault))
    if source.URL and not _is_address(source.URL):
        message = f"`{source.URL}` is no address of a page"
        mend = "write it whole, from `https://` on, without blanks"
        yield Problem(NAME, message, mend, path=(key, "URL"))


def _dates(shelf: Shelf, key: str, source: Source) -> Iterator[Problem]:
    for name, word in SOURCE_DATES:
        text = getattr(source, name)
        if not text:
            continue
        fault = date_fault(text)
        if fault:
            yield Problem(NAME, f"`{word}`: {fault}", DAY, path=(key, word))
        elif name in ("seen", "accessed"):
            read = parse_date(text)
            if read and read.first and read.first > shelf.today:
                message = f"`{word}: {text}` is still to come"
                yield Problem(NAME, message, "write the day on which it was in hand", path=(key, word))


def _is_address(text: str) -> bool:
    """Whether a text is a whole web address; other schemes are refused, since the site links to what stands here."""
    try:
        parts = urlsplit(text)
        return parts.scheme in ("http", "https") and bool(parts.hostname) and " " not in text
    except ValueError:
        return False


def _grade(fault: Fault) -> Severity | None:
    return None if fault.certain else WARNING
