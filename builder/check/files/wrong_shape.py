"""wrong-shape: see wrong_shape.md"""

from collections.abc import Iterator

from builder.check.case import Case, Shelf
from builder.check.files.amend import ticks_before_time
from builder.check.files.beat_marks import beat_mark_faults
from builder.load.shape import suggest
from builder.model.record import Claim, DietEvidence
from builder.model.source import CSL_TYPES
from builder.problem import ERROR, WARNING, Path, Place, Problem

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "wrong-shape", ERROR, False, "load"


def check(case: Case) -> Iterator[Problem]:
    """What the shape of single entries cannot tell: keys of which one must be there, and numbers given twice."""
    yield from _catalogue_numbers(case)
    yield from beat_mark_faults(case)
    broken = case.subject.loaded.broken
    for key, claim in case.record.claims.items():
        path: Path = ("claims", key)
        if (*path, "lead") in broken:
            continue  # whether it is a lead nobody can tell
        misspelt = "".join(
            suggest(str(cut[2]), Claim.model_fields) for cut in broken if cut[:2] == path and len(cut) == 3
        )
        for name, message, mend in _claim_faults(key, claim):
            if (*path, name) not in broken and f"`{name}`" not in misspelt:  # it was said what is meant
                grade = WARNING if name == "why" else None
                yield Problem(NAME, message, mend, path=path, at_key=True, severity=grade)
        for index, evidence in enumerate(claim.evidence):
            if isinstance(evidence, DietEvidence):
                yield from _diet_faults(key, evidence, (*path, "evidence", index))


def check_shelf(shelf: Shelf) -> Iterator[Problem]:
    """A source of a type that CSL does not know, as its citation would come out as something else; ticks too early."""
    for key, source in shelf.library.sources.items():
        if source.type not in CSL_TYPES:
            message = f"`type: {source.type}` is no item type of CSL{suggest(source.type, CSL_TYPES)}"
            mend = "write one such as `article-journal`, `book`, `chapter`, `webpage`, `thesis`, `report`, `dataset`"
            yield Problem(NAME, message, mend, path=(key, "type"))
    yield from ticks_before_time(shelf, NAME)


def _claim_faults(key: str, claim: Claim) -> Iterator[tuple[str, str, str]]:
    """The key that lacks, the message and the mend."""
    if claim.lead:
        if not claim.statement and not claim.belief:
            mend = "add `statement:` with what was said, or `belief:` with what people say"
            yield "statement", f"the lead `{key}` says nothing", mend
        return
    if not claim.statement:
        yield "statement", f"claim `{key}` lacks `statement`", "add `statement:` with what we say, in one sentence"
    if not claim.stands:
        what = "belief" if claim.belief else "statement"
        mend = "add `stands:` with one of holds, partly, fails, open; or `lead: true` to keep the claim back"
        yield "stands", f"claim `{key}` does not say whether its {what} stands", mend
    if claim.belief and not claim.why and claim.stands in ("fails", "partly"):
        mend = "add `why:` with what misleads people and what explains it instead"
        yield "why", f"claim `{key}` takes a belief away and puts no explanation in its place", mend


def _diet_faults(key: str, evidence: DietEvidence, path: Path) -> Iterator[Problem]:
    where = f"the diet evidence of claim `{key}`"
    if evidence.group is None and evidence.prey is None:
        message = f"{where} names neither a `group` nor a `prey`"
        yield Problem(NAME, message, "add `group:` or `prey:` as the table writes it", path=path)
    low, high = evidence.at_least, evidence.at_most
    if low is None and high is None:
        message = f"{where} gives no share to test"
        yield Problem(NAME, message, "add `at_least:` or `at_most:`, a share such as `0.9`", path=path)
    elif low is not None and high is not None and low > high:
        message = f"{where} asks for at least {low} and at most {high}: no share is both"
        yield Problem(NAME, message, "exchange the two, or mend one", path=(*path, "at_least"))


def _catalogue_numbers(case: Case) -> Iterator[Problem]:
    first: dict[tuple[str, str], str] = {}
    for key, thing in case.record.objects.items():
        number = (thing.collection, thing.catalogue_number.casefold())
        other = first.setdefault(number, key)
        if other == key:
            continue
        loaded = case.subject.loaded
        file = f"{loaded.folder}/record.yml"
        spot = loaded.trees[file].find_spot(("objects", other, "catalogue_number"))
        yield Problem(
            NAME,
            f"the objects `{other}` and `{key}` carry the same catalogue number `{thing.catalogue_number}`",
            "copy each number from the object's own label; where parts of one animal share it, name the part as well",
            path=("objects", key, "catalogue_number"),
            also=((f"that of `{other}`", Place(file, spot.line, spot.column, spot.length)),),
        )
