"""circular-sources: see circular_sources.md"""

from collections.abc import Iterator

from builder.check.case import Shelf
from builder.problem import ERROR, Place, Problem
from builder.weigh.lines import find_cycles

NAME, SEVERITY, WAIVABLE, SCOPE = "circular-sources", ERROR, False, "library"


def check(shelf: Shelf) -> Iterator[Problem]:
    """Sources that draw on one another in a circle."""
    sources = shelf.library.sources
    for ring in find_cycles({key: source.draws_on for key, source in sources.items()}):
        first, after = ring[0], (*ring[1:], ring[0])
        index = list(sources[first].draws_on or ()).index(after[0])
        if len(ring) == 1:
            message = f"`{first}` says that it draws on itself"
            mend = "write `draws_on: []` if it reports data of its own, or name what it took them from"
        else:
            walk = " → ".join(f"`{key}`" for key in (*ring, first))
            message = f"{len(ring)} sources draw on one another in a circle: {walk}"
            mend = "find out which of them came first, and take from its `draws_on` what it cannot have known"
        also = tuple(
            (f"`{key}` draws on `{drawn}` here", _place(shelf, key))
            for key, drawn in zip(ring[1:], after[1:], strict=True)
        )
        yield Problem(NAME, message, mend, path=(first, "draws_on", index), also=also)


def _place(shelf: Shelf, key: str) -> Place:
    file = f"{shelf.library.folder}/sources.yml"
    spot = shelf.library.shared.trees[file].find_spot((key, "draws_on"), at_key=True)
    return Place(file, spot.line, spot.column, spot.length)
