"""What fits into a slot: whole seconds of a text, the room for speech, and the best choice among its parts.

In: words, words a minute, minutes, shares; parts with their seconds and what they are worth. Out: whole seconds; which
parts stay. Refused: a rate or share that is not above zero raises `ValueError`, and so do negative seconds or values.

Rounding: the seconds of a text are rounded up and the room for it is rounded down, so that what is said to fit does.
What a part is worth where its author states nothing (`KEEP_VALUES`) is our choice.

Choosing is the 0–1 knapsack problem, solved exactly by the lists of undominated states of Nemhauser & Ullmann 1969
(*Management Science* 15:494–505) and thinned by the bound of Dantzig 1957 (*Operations Research* 5:266–277), both from
memory; the tests hold it to a search through every choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction

KEEP_VALUES = {"always": 10, "if-time": 10, "spare": 1}
"""What a part is worth that states no value: one to be kept where time allows weighs as much as ten spare ones."""

Worth = tuple[int, int, int, int]
"""What a choice is judged by, in this order: value, number of parts, seconds saved, and how early its parts come."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a text: whole seconds, what it is worth, and whether it must stay."""

    seconds: int
    value: int
    firm: bool = False


def text_seconds(words: int, *, rate_wpm: int, stated: int = 0) -> int:
    """Whole seconds of a text: 60 × words / rate, rounded up, but no less than is stated for it."""
    if rate_wpm <= 0:
        raise ValueError("the rate must be above zero")
    return max(-(-60 * words // rate_wpm), stated)


def room_seconds(minutes: Decimal, *, share: Decimal = Decimal(1)) -> int:
    """Whole seconds of speech that a slot has room for: 60 × minutes × share, rounded down."""
    if minutes < 0 or not 0 < share <= 1:
        raise ValueError("minutes must not be negative, the share above 0 and at most 1")
    return int((minutes * 60 * share).to_integral_value(ROUND_FLOOR))


def clock_seconds(spoken: int, *, share: Decimal = Decimal(1)) -> int:
    """Whole seconds on the clock while so many are spoken: seconds / share, rounded up."""
    if spoken < 0 or not 0 < share <= 1:
        raise ValueError("the seconds must not be negative, the share above 0 and at most 1")
    return int((spoken / share).to_integral_value(ROUND_CEILING))


def minutes(seconds: float) -> str:
    """A time as `2 min 30 s`."""
    whole, rest = divmod(round(seconds), 60)
    return " ".join(
        part for part in (f"{whole} min" if whole else "", f"{rest} s" if rest or not whole else "") if part
    )


def choose_parts(parts: Sequence[Part], room: int) -> tuple[int, ...]:
    """The indices of the parts that stay, in order: of all choices that fit into `room` seconds the one worth most.

    Firm parts always stay; where they alone do not fit, nothing else does. Among choices of equal value the one of
    more parts wins, then the shorter, then the one whose parts come earlier.
    """
    if any(part.seconds < 0 or part.value < 0 for part in parts):
        raise ValueError("neither seconds nor value of a part may be below zero")
    firm = [index for index, part in enumerate(parts) if part.firm]
    free = room - sum(parts[index].seconds for index in firm)
    loose = [index for index, part in enumerate(parts) if not part.firm and part.seconds <= free]
    if sum(parts[index].seconds for index in loose) <= free:
        return tuple(sorted([*firm, *loose]))
    loose.sort(key=lambda index: (-_density(parts[index]), index))
    earliness = _search([(parts[i].seconds, parts[i].value, 1 << (len(parts) - 1 - i)) for i in loose], free)
    return tuple(i for i in range(len(parts)) if parts[i].firm or earliness >> (len(parts) - 1 - i) & 1)


def _density(part: Part) -> Fraction:
    """Value a second; a part that takes no time comes first."""
    return Fraction(part.value, part.seconds) if part.seconds else Fraction(10**12)


def _search(items: list[tuple[int, int, int]], room: int) -> int:
    """The bits of the best choice among (seconds, value, bit), the densest first."""
    sure = _greedy_value(items, room)
    states: list[tuple[int, Worth]] = [(0, (0, 0, 0, 0))]
    for place, (seconds, value, bit) in enumerate(items):
        longer = [
            (used + seconds, (worth[0] + value, worth[1] + 1, worth[2] - seconds, worth[3] + bit))
            for used, worth in states
            if used + seconds <= room
        ]
        rest = items[place + 1 :]
        states = [state for state in _undominated(states, longer) if _could_reach(sure, state, rest, room)]
    return states[-1][1][3]


def _undominated(first: list[tuple[int, Worth]], second: list[tuple[int, Worth]]) -> list[tuple[int, Worth]]:
    """Both lists in order of time, without the states for which another is as short and worth more."""
    kept: list[tuple[int, Worth]] = []
    for state in sorted(first + second, key=lambda state: (state[0], _less(state[1]))):
        if not kept or state[1] > kept[-1][1]:
            kept.append(state)
    return kept


def _less(worth: Worth) -> Worth:
    return (-worth[0], -worth[1], -worth[2], -worth[3])


def _greedy_value(items: list[tuple[int, int, int]], room: int) -> int:
    total = 0
    for seconds, value, _ in items:
        if seconds <= room:
            total, room = total + value, room - seconds
    return total


def _could_reach(sure: int, state: tuple[int, Worth], rest: list[tuple[int, int, int]], room: int) -> bool:
    """Whether a choice could still be worth `sure`, were the rest divisible."""
    used, worth = state
    free, best = room - used, worth[0]
    for seconds, value, _ in rest:
        if seconds > free:
            return best + -(-value * free // seconds) >= sure
        free, best = free - seconds, best + value
        if best >= sure:
            return True
    return best >= sure
