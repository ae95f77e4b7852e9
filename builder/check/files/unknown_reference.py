"""unknown-reference: see unknown_reference.md"""

from collections.abc import Iterator

from builder.check.case import Case, Shelf
from builder.check.files.amend import lost_references
from builder.load.shape import suggest
from builder.problem import ERROR, Path, Problem

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "unknown-reference", ERROR, False, "resolve"


def check(case: Case) -> Iterator[Problem]:
    """Files that a record names and that do not lie in its folder."""
    loaded, record = case.subject.loaded, case.record
    named: list[tuple[Path, str, tuple[str, ...]]] = [
        (("figures", key, "file"), figure.file, (".svg", ".png", ".jpg", ".jpeg", ".webp", ".gif", ".avif"))
        for key, figure in record.figures.items()
    ]
    named += [(("diet", key, "table"), diet.table, (".csv",)) for key, diet in record.diet.items()]
    for path, file, endings in named:
        if file in loaded.files or f"{loaded.folder}/{file}" in case.library.shared.unreadable:
            continue
        there = [name for name in loaded.files if name.lower().endswith(endings)]
        message = f"there is no file `{file}` in the record's folder{suggest(file, there)}"
        yield Problem(NAME, message, "put the file there, or correct its name", path=path)


def check_shelf(shelf: Shelf) -> Iterator[Problem]:
    """What `sources.yml`, `museum.yml` and `corrections.yml` name and that is not there."""
    library, shared = shelf.library, shelf.library.shared
    for key, source in library.sources.items():
        for index, drawn in enumerate(source.draws_on or ()):
            if drawn not in library.sources and drawn not in shared.broken:
                message = f"there is no source `{drawn}` for `{key}` to draw on{suggest(drawn, library.sources)}"
                mend = f"correct the id, or add `{drawn}` to sources.yml with what is known of it"
                yield Problem(NAME, message, mend, path=(key, "draws_on", index))
        file = source.excerpt
        if file and file not in shelf.excerpts and f"{library.folder}/{file}" not in shared.unreadable:
            message = f"there is no file `{file}` beside sources.yml{suggest(file, shelf.excerpts)}"
            mend = "put the passage there as plain text, in the folder excerpts/, or correct the name"
            yield Problem(NAME, message, mend, path=(key, "excerpt"))
    collections = library.museum.collections
    for key, person in library.museum.people.items():
        for index, collection in enumerate(person.may_approve):
            if collections and collection not in collections:
                message = (
                    f"there is no collection `{collection}` for `{key}` to approve{suggest(collection, collections)}"
                )
                mend = f"correct the id, or add `{collection}` to `collections`"
                yield Problem(NAME, message, mend, path=("people", key, "may_approve", index), file="museum.yml")
    yield from lost_references(shelf, NAME)
