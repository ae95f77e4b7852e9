"""bad-scientific-name: see bad_scientific_name.md"""

from collections.abc import Iterator
from functools import lru_cache

from builder.check.case import Case
from builder.problem import ERROR, WARNING, Path, Problem
from builder.weigh.name import NameFault, authority_fault, read_name, scientific_name_faults

NAME, SEVERITY, WAIVABLE = "bad-scientific-name", ERROR, True
MEND = "write the name as a recent list of the group has it, author and year after the name under `authority`"


def check(case: Case) -> Iterator[Problem]:
    """Faults in the shape of the record's scientific name, its author, and the name it was described under."""
    name = case.record.name
    for key, fault in _faults(name.scientific, name.authority, name.described_as):
        path: Path = ("name", key)
        severity = ERROR if fault.certain else WARNING
        yield Problem(NAME, fault.message, MEND, path=path, severity=severity)


@lru_cache(maxsize=4096)
def _faults(
    scientific: str | None, authority: str | None, described_as: str | None
) -> tuple[tuple[str, NameFault], ...]:
    """Each fault with the field to mend, once."""
    found: dict[NameFault, str] = {}
    if scientific:
        found |= dict.fromkeys(scientific_name_faults(scientific, None), "scientific")
    if authority:
        fault = authority_fault(authority)
        if fault:
            found.setdefault(fault, "authority")
    if described_as:
        read = read_name(described_as)
        for fault in (read,) if isinstance(read, NameFault) else read.faults:
            found.setdefault(fault, "described_as")
    if scientific and not found:  # what quarrels with what, once each is sound alone
        where = "authority" if authority else "scientific"
        found |= dict.fromkeys(scientific_name_faults(scientific, authority, described_as=described_as), where)
    return tuple((key, fault) for fault, key in found.items())
