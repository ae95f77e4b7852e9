"""unused-entry: see unused_entry.md"""

from collections.abc import Iterator

from builder.check.case import Case, Shelf
from builder.problem import WARNING, Path, Problem

NAME, SEVERITY, WAIVABLE = "unused-entry", WARNING, True
SECTIONS = (
    ("anatomy", "anatomy", "anatomy note", "point at it from a piece with `[words](look:{})`, or delete it"),
    ("figures", "figure", "figure", "place an anatomy note on it with `at: {{figure: {}, …}}`, or delete it"),
    ("diet", "diet", "diet table", "test it in a claim's evidence with `diet: {}`, or delete it"),
    ("calculations", "calculation", "calculation", "name it in a claim's evidence as `calculation: {}`, or delete it"),
)
FILES = (".svg", ".png", ".jpg", ".jpeg", ".webp", ".gif", ".avif", ".csv")


def check(case: Case) -> Iterator[Problem]:
    """Entries of a record that nothing refers to, and pictures and tables in its folder that it does not name."""
    record, loaded = case.record, case.subject.loaded
    if loaded.problems:
        return  # what could not be read may have used it
    used = {(r.target.kind, r.target.id) for r in case.subject.references if r.target.record == loaded.id}
    for section, kind, words, mend in SECTIONS:
        if section == "figures" and not record.anatomy:
            continue
        for key in getattr(record, section):
            if (kind, key) not in used:
                message = f"nothing uses the {words} `{key}`"
                yield Problem(NAME, message, mend.format(key), path=(section, key), at_key=True)
    named = {figure.file for figure in record.figures.values()} | {diet.table for diet in record.diet.values()}
    for file in sorted(loaded.files):
        if file.lower().endswith(FILES) and file not in named:
            section = "diet" if file.lower().endswith(".csv") else "figures"
            path: Path = (section,) if getattr(record, section) else ("title",)
            message = f"the file `{file}` lies in the record's folder and the record does not name it"
            mend = f"name it under `{section}`, or take it out of the folder"
            yield Problem(NAME, message, mend, path=path, at_key=True)


def check_shelf(shelf: Shelf) -> Iterator[Problem]:
    """Sources that no record rests on, even through another source, and excerpts that no source names."""
    if not shelf.whole:
        return
    library = shelf.library
    used = {drawn for key in shelf.used for drawn in library.drawn_on(key)}
    for key in library.sources:
        if key not in used:
            message = f"no record uses the source `{key}`, and no source that is used draws on it"
            yield Problem(NAME, message, "cite it, or delete it", path=(key,), at_key=True)
    if library.shared.problems:
        return  # an entry that could not be read may name the excerpt
    named = {source.excerpt for source in library.sources.values()}
    for file in sorted(shelf.excerpts):
        if file not in named:
            message = f"no source names `{file}`"
            mend = "name it as the `excerpt` of a source, or delete it"
            yield Problem(NAME, message, mend, file=file)
