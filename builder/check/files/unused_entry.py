"""unused-entry: see unused_entry.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import WARNING, Problem

NAME, SEVERITY, WAIVABLE = "unused-entry", WARNING, True
SECTIONS = {"anatomy": "anatomy", "figures": "figure", "diet": "diet", "calculations": "calculation"}


def check(case: Case) -> Iterator[Problem]:
    """Entries of a record that nothing refers to, and pictures and tables in its folder that it does not name."""
    record, loaded = case.record, case.subject.loaded
    used = {(r.target.kind, r.target.id) for r in case.subject.references if r.target.record == loaded.id}
    for section, kind in SECTIONS.items():
        if section == "figures" and not record.anatomy:
            continue
        for key in getattr(record, section):
            if (kind, key) not in used:
                message = f"nothing refers to the {kind} `{key}`"
                mend = "use it in a claim or a piece, or delete it"
                yield Problem(NAME, message, mend, path=(section, key), at_key=True)
    named = {figure.file for figure in record.figures.values()} | {diet.table for diet in record.diet.values()}
    for file in sorted(loaded.files):
        if file.endswith((".svg", ".png", ".jpg", ".jpeg", ".webp", ".csv")) and file not in named:
            message = f"the record does not name the file `{file}` that lies in its folder"
            yield Problem(
                NAME, message, "name it under `figures` or `diet`, or take it out of the folder", path=("name",)
            )
