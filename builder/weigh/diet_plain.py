"""The plain form of a diet result: lists, texts and numbers, to be remembered as JSON and read back to the last bit.

In: a DietResult, or data that claims to be the plain form of one. Out: the plain form, or an equal DietResult; None for
data of any other shape, since what is remembered may have been spoilt, or come from somebody else.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, TypeVar

from builder.weigh.diet import Composition, DietResult, Kind, Measure
from builder.weigh.diet_index import Richness
from builder.weigh.proportion import Interval
from builder.weigh.resampling import Estimate

Part = TypeVar("Part")
_METHODS = ("wilson", "bootstrap", "range")
_AMOUNTS: tuple[Measure, ...] = ("count", "mass", "volume")
_LARGEST = 2**53


def as_plain(result: DietResult) -> list[Any]:
    """The plain form. Whole numbers stay whole; `None` stands for groups that are the kinds of prey themselves."""
    return [
        result.examined,
        result.empty,
        result.clusters,
        result.vacuity,
        result.iri_measure,
        result.levins_measure,
        result.log_base,
        dict(result.gaps),
        _plain_composition(result.prey),
        None if result.groups == result.prey else _plain_composition(result.groups),
        result.resamples,
        result.level,
    ]


def from_plain(plain: Any) -> DietResult | None:
    """The result that `as_plain` made plain."""
    try:
        return _result(plain)
    except (ValueError, TypeError, AttributeError):
        return None


def _plain_composition(found: Composition) -> list[Any]:
    kinds = [[kind.name, kind.samples, dict(kind.measures)] for kind in found.kinds]
    rich = found.richness
    counts = rich and [rich.observed, rich.seen_once, rich.seen_twice, rich.samples, rich.estimate, *rich.interval]
    return [kinds, found.levins_B, found.levins_BA, found.shannon, counts, found.curve]


def _result(plain: Any) -> DietResult:
    examined, empty, clusters, vacuity, iri, levins, log_base, gaps, prey, groups, resamples, level = plain
    of_prey = _composition(prey)
    found = DietResult(
        _whole(examined, least=1),
        _whole(empty),
        _if_there(_whole, clusters),
        _estimate(vacuity),
        None if iri is None else _one_of(_AMOUNTS, iri),
        _one_of(_AMOUNTS, levins),
        _text(log_base),
        MappingProxyType({_one_of(_AMOUNTS, name): _whole(count) for name, count in gaps.items()}),
        of_prey,
        of_prey if groups is None else _composition(groups),
        _whole(resamples),
        _number(level),
    )
    if empty > examined or not 0 < level < 1:
        raise ValueError("no such result")
    return found


def _composition(plain: Any) -> Composition:
    kinds, breadth, standard, shannon, richness, curve = plain
    return Composition(
        tuple(_kind(*of_one) for of_one in _list(kinds)),
        _if_there(_estimate, breadth),
        _if_there(_estimate, standard),
        _if_there(_estimate, shannon),
        _if_there(_richness, richness),
        tuple((_whole(samples, least=1), _number(expected)) for samples, expected in _list(curve)),
    )


def _kind(name: Any, samples: Any, measures: Mapping[Any, Any]) -> Kind:
    made = {_text(measure): _estimate(found) for measure, found in measures.items()}
    return Kind(_text(name), _whole(samples), MappingProxyType(made))


def _richness(plain: Any) -> Richness:
    observed, once, twice, samples, estimate, low, high = plain
    counts = _whole(observed), _whole(once), _whole(twice), _whole(samples, least=1)
    return Richness(*counts, _number(estimate), Interval(_number(low), _number(high)))


def _estimate(plain: Any) -> Estimate:
    value, low, high, method = plain
    if not _number(low) <= _number(value) <= _number(high):
        raise ValueError("an interval holds its estimate")
    return Estimate(value, low, high, _one_of(_METHODS, method))


def _if_there(read: Callable[[Any], Part], plain: Any) -> Part | None:
    return None if plain is None else read(plain)


def _list(plain: Any) -> list[Any]:
    if type(plain) is not list:
        raise ValueError("not a list")
    return plain


def _whole(plain: Any, *, least: int = 0) -> int:
    if type(plain) is not int or not least <= plain < _LARGEST:
        raise ValueError("not a whole number")
    return plain


def _number(plain: Any) -> float:
    """A number as it stands, whole ones too: some limits are 0 or 1."""
    if type(plain) not in (int, float) or not abs(plain) < _LARGEST:
        raise ValueError("not a number")
    return plain  # type: ignore[no-any-return]


def _text(plain: Any) -> str:
    if type(plain) is not str:
        raise ValueError("not a text")
    plain.encode()  # half a surrogate pair could not be written
    return plain


def _one_of(words: tuple[Part, ...], plain: Any) -> Part:
    return words[words.index(plain)]
