"""Counts independent lines of evidence: works that draw on one another are counted once.

In: which source draws on which, and the evidence items of one claim with the roots each rests on.
Out: the roots of every source, the cycles among them, and the lines of a claim in the order of its items.
Refuses nothing: cycles, unknown origins and ids nobody defined all have a meaning, given below.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Lean = Literal["for", "against", "mixed"]
Basis = Literal["experiment", "measurement", "observation", "specimen", "review", "account"]
DrawsOn = Mapping[str, Sequence[str] | None]


@dataclass(frozen=True)
class Item:
    """One piece of evidence of a claim.

    `key` names the work, object or result it comes from. `roots` are the sources or objects it finally rests on; an
    item without any can begin no line. `own` is true where what it cites is itself a root: a source with its own data,
    an object, the source of a diet table. `sample` is the number of individuals, samples or trials behind it, None
    where it is not known.
    """

    key: str
    roots: frozenset[str]
    lean: Lean
    basis: Basis
    first_hand: bool = False
    sample: int | None = None
    own: bool = False

    @property
    def is_work(self) -> bool:
        """Whether somebody wrote it: what the house has itself worked out is named `calculation need`, `diet gut`."""
        return " " not in self.key


@dataclass(frozen=True)
class Line:
    """One independent line: a root and every item counted under it, the item that was given the root first."""

    root: str
    items: tuple[Item, ...]
    unknown_origin: bool = False

    @property
    def lean(self) -> Lean:
        """As all its items lean, `mixed` where they differ."""
        leans = {item.lean for item in self.items}
        return self.items[0].lean if len(leans) == 1 else "mixed"

    @property
    def speakers(self) -> tuple[Item, ...]:
        """The items that say of what kind the line is: those that are its root, else the one that was given it.

        A work that only repeats a root must not lend the line a further basis, a sample or first-hand standing.
        """
        return tuple(item for item in self.items if item.own and self.root in item.roots) or self.items[:1]

    @property
    def bases(self) -> frozenset[str]:
        """The kinds of evidence in the line; a root of unknown origin counts as an account, whatever is said of it."""
        return frozenset({"account"}) if self.unknown_origin else frozenset(item.basis for item in self.speakers)

    @property
    def first_hand(self) -> bool:
        return not self.unknown_origin and any(item.first_hand for item in self.speakers)


def unknown_origins(draws_on: DrawsOn) -> frozenset[str]:
    """Sources that do not say what they draw on, and ids drawn on that are no source of the library."""
    unknown = {source for source, drawn in draws_on.items() if drawn is None}
    return frozenset(unknown.union(*(drawn or () for drawn in draws_on.values())).difference(draws_on) | unknown)


def source_roots(draws_on: DrawsOn) -> Mapping[str, frozenset[str]]:
    """The sources each source finally rests on, for every id that occurs.

    `draws_on`: id -> ids it draws on; an empty sequence means its own data, None means unknown. A source that draws
    on nothing known is its own root; so is an id that nobody defines. Sources that draw on one another in a circle
    and on nothing outside it are one root, named by the first of their ids in alphabetical order.
    Time and memory grow with the number of links, apart from the size of the answer.
    """
    roots: dict[str, frozenset[str]] = {}
    for ring in _components(draws_on):  # what a ring draws on has been settled before it
        members = set(ring)
        outside = {roots[drawn] for member in ring for drawn in draws_on.get(member) or () if drawn not in members}
        roots.update(dict.fromkeys(ring, _join(outside) if outside else frozenset({min(ring)})))
    return roots


def find_cycles(draws_on: DrawsOn) -> tuple[tuple[str, ...], ...]:
    """A shortest circle through the first id of each set of sources that draw on one another.

    Each is a walk along `draws_on` that begins with that id and leads back to it (the id is not repeated at the end).
    """
    cycles = []
    for ring in _components(draws_on):
        start, members = min(ring), set(ring)
        came_from: dict[str, str] = {}
        queue = [start]
        for source in queue:
            for drawn in draws_on.get(source) or ():
                if drawn in members and drawn not in came_from:
                    came_from[drawn] = source
                    queue.append(drawn)
        if start in came_from:
            walk = [came_from[start]]
            while walk[-1] != start:
                walk.append(came_from[walk[-1]])
            cycles.append(tuple(reversed(walk)))
    return tuple(sorted(cycles))


def count_lines(items: Iterable[Item], *, unknown: Collection[str] = frozenset()) -> tuple[Line, ...]:
    """The independent lines of evidence among `items`: as many as items can each be given a root of their own.

    A maximum matching of items to roots by augmenting paths (Berge 1957, Proc. Natl. Acad. Sci. 43:842, theorem 1),
    items that are a root themselves first, ties by order; an item once given a root keeps one. An item left over
    joins the first line whose root it shares. So a copy adds no line, and a review of two studies never joins them.
    `unknown` are the roots of unknown origin (see `unknown_origins`).
    """
    listed = [item for item in items if item.roots]
    edges = [sorted(item.roots, key=lambda root: (root in unknown, root)) for item in listed]
    holder: dict[str, int] = {}
    held: dict[int, str] = {}
    closed: set[str] = set()  # roots that an earlier search proved to lead nowhere, and that no later one can free
    for number in sorted(range(len(listed)), key=lambda place: not listed[place].own):
        _give_root(number, edges, holder, held, closed)
    members = {held[number]: [listed[number]] for number in sorted(held)}
    for number, item in enumerate(listed):
        if number not in held:
            next(line for root, line in members.items() if root in item.roots).append(item)
    return tuple(Line(root, tuple(line), root in unknown) for root, line in members.items())


def _give_root(
    start: int, edges: Sequence[Sequence[str]], holder: dict[str, int], held: dict[int, str], closed: set[str]
) -> None:
    """Give item `start` a root, moving others to another root of theirs where that makes room."""
    asked_by: dict[str, int] = {}
    queue = [start]
    for number in queue:
        for root in edges[number]:
            if root in asked_by or root in closed:
                continue
            asked_by[root] = number
            if root in holder:
                queue.append(holder[root])
                continue
            while True:
                taker = asked_by[root]
                given_up = held.get(taker)
                holder[root], held[taker] = taker, root
                if given_up is None:
                    return
                root = given_up
    closed.update(asked_by)


def _join(sets: set[frozenset[str]]) -> frozenset[str]:
    first = next(iter(sets))
    return first if len(sets) == 1 else first.union(*sets)  # one set is shared, not copied, down a long chain


def _components(draws_on: DrawsOn) -> list[list[str]]:
    """Strongly connected sets of sources, each after all it draws on (Tarjan 1972, SIAM J. Comput. 1:146)."""
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    open_sources: list[str] = []
    settled: set[str] = set()
    found: list[list[str]] = []
    for first in sorted(draws_on):
        if first in number:
            continue
        number[first] = lowest[first] = len(number)
        open_sources.append(first)
        path = [(first, iter(draws_on[first] or ()))]
        while path:
            source, rest = path[-1]
            for drawn in rest:
                if drawn not in number:
                    number[drawn] = lowest[drawn] = len(number)
                    open_sources.append(drawn)
                    path.append((drawn, iter(draws_on.get(drawn) or ())))
                    break
                if drawn not in settled:
                    lowest[source] = min(lowest[source], number[drawn])
            else:
                path.pop()
                if path:
                    lowest[path[-1][0]] = min(lowest[path[-1][0]], lowest[source])
                if lowest[source] == number[source]:
                    ring: list[str] = []
                    while not ring or ring[-1] != source:
                        ring.append(open_sources.pop())
                    settled.update(ring)
                    found.append(ring)
    return found
