"""withdrawn-source: see withdrawn_source.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.check.sources.citation import find_citations
from builder.problem import ERROR, Problem
from builder.resolve import Library

NAME, SEVERITY, WAIVABLE = "withdrawn-source", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """A claim, anatomy note, diet table or calculation that rests on a withdrawn source, or on one that draws on it.

    Who held or told a belief may be shown from a withdrawn source: that it says so stays true.
    """
    ways: dict[str, tuple[str, ...]] = {}
    for cited in find_citations(case):
        if not cited.vouches:
            continue
        if cited.source not in ways:
            ways[cited.source] = find_withdrawn(case.library, cited.source)
        way = ways[cited.source]
        if not way:
            continue
        withdrawn = f"`{way[-1]}`, which was withdrawn ({case.library.sources[way[-1]].withdrawn})"
        through = "".join(f"`{key}`, which draws on " for key in way[:-1])
        yield Problem(
            NAME,
            f"{cited.what} rests on {through}{withdrawn}",
            "find a source that stands without it, and see whether the statement still holds; else make it a lead",
            path=(*cited.path, "source"),
        )


def find_withdrawn(library: Library, source: str) -> tuple[str, ...]:
    """A shortest way along `draws_on` from a source to one that was withdrawn, both named; empty if there is none."""
    came_from = {source: ""}
    queue = [source]
    for here in queue:
        entry = library.sources.get(here)
        if entry is None:
            continue
        if entry.withdrawn:
            way = [here]
            while came_from[way[-1]]:
                way.append(came_from[way[-1]])
            return tuple(reversed(way))
        for drawn in entry.draws_on or ():
            if drawn not in came_from:
                came_from[drawn] = here
                queue.append(drawn)
    return ()
