"""Units of calculations: what one unit is worth in base units, what it measures, and which unit names name several.

In: unit texts such as `kJ/day`, `US gallon`, `g/cm³`, `°C`, `% of mass`, `count`. Out: a `Unit` with its exact factor
to base units (metre, gram, second, kelvin …) and its dimension, or a `UnitFault` that says what to write instead.
Refused: a name that names several units (gallon, pint, ton, bare %, proof …), a logarithmic unit, a physical constant,
a unit text over 60 characters or with an exponent over 9. No text raises.

Values: pint's definitions, read as exact fractions; but `acre` and `fathom` here are the international ones of
4046.8564224 m² and 1.8288 m, with `survey acre` and `survey fathom` for those that rest on the US survey foot, and
temperatures are exact by the definition of the kelvin (K = °C + 273.15 = (°F + 459.67) × 5/9).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from builder.weigh.unitword import name_unit

Dimension = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: `base value = value * factor + offset`; `dimension` holds base dimensions and their powers, sorted.

    `temperature` is reading (°C, °F: a place on a scale), difference, kelvin (either), or empty for other units.
    """

    name: str
    factor: Fraction
    dimension: Dimension
    offset: Fraction = Fraction(0)
    temperature: str = ""


@dataclass(frozen=True, slots=True)
class UnitFault:
    """Why a text is no one unit; `choices` are what to write instead, perhaps none."""

    fault: str
    message: str
    choices: tuple[str, ...] = ()


_BARE: Final = r"(?<!us )(?<!us_)(?<!uk )(?<!imperial )(?<!imperial_)"  # with no country named
# what a name may mean: letters without which the pattern cannot match, so that most texts are passed at once; the
# pattern for a whole unit text or for prose; and what to write instead
_SEVERAL: Final[tuple[tuple[tuple[str, ...], re.Pattern[str], tuple[str, ...]], ...]] = tuple(
    (tuple(hints.split()), re.compile(pattern, re.IGNORECASE), choices)
    for hints, pattern, choices in (
        ("ounce oz", _BARE + r"(?:fluid[ _](?:ounces?|oz)|fl\.? ?oz\.?)\b",
         ("US fluid ounce", "imperial fluid ounce")),
        ("gal", _BARE + r"\bgal(?:lon)?s?\b", ("US gallon", "imperial gallon")),
        ("pint pt", _BARE + r"\b(?:pints?|pts?)\b", ("US pint", "imperial pint")),
        ("quart", _BARE + r"\bquarts?\b", ("US quart", "imperial quart")),
        ("ton", r"(?<!metric )(?<!long )(?<!short )(?<!metric_)(?<!long_)(?<!short_)\btons?\b",
         ("tonne", "long ton", "short ton")),
        ("calorie", r"(?<!kilo)\bcalories?\b", ("cal", "kcal")),
        ("proof", r"^proof$|\d\s?proof\b", ("% ethanol by volume", "US proof", "UK proof")),
        ("formalin", r"\d\s?(?:%|per ?cent) formalin\b|^(?:%|per ?cent) formalin$",
         ("% of commercial formalin", "% formaldehyde by mass")),
        ("ethanol alcohol spirit",
         r"(?:%|per ?cent)\s(?:ethanol|alcohol|ethyl alcohol|spirit)\b(?!\s(?:by|of) (?:volume|mass|weight))",
         ("% ethanol by volume", "% ethanol by mass")),
        ("% cent", r"^(?:%|per ?cent|percentage)$", ("% of mass", "% of volume", "% of occurrence", "% of count")),
        ("psi pounds",
         r"\b(?:psi|pounds per square inch)\b(?=.*\b(?:forces?|strength|strong\w*)\b)"
         r"|\b(?:forces?|strength|strong\w*)\b(?=.*\b(psi|pounds per square inch)\b)",
         ("psi (a pressure)", "lbf (a force)", "N (a force)")),
        ("° degree",
         r"(?:°\s?|degrees? )F(?:ahrenheit)?\b(?=.*\b(?:warmer|colder|cooler|hotter|higher|lower|more|less|rise|drop"
         r"|fall|apart)\b)"
         r"|\b(?:difference|rise|rose|fell|fall|drop|dropp?ed|warmed|cooled|change)\b(?=.*((?:°\s?|degrees? )F)\b)",
         ("°F difference", "°F")),
    )
)  # fmt: skip
_READINGS: Final = {"°C": "°C", "degC": "°C", "celsius": "°C", "°F": "°F", "degF": "°F", "fahrenheit": "°F"}
_DIFFERENCE: Final = re.compile(r"^(?:(?:°\s?|deg)[CF] difference|difference in °\s?[CF]|(?:delta_|Δ)(?:°|deg)[CF])$")
_SCALES: Final = {"°C": (Fraction(1), Fraction(27315, 100)), "°F": (Fraction(5, 9), Fraction(45967, 180))}
_OWN: Final = {
    "£": ("pounds sterling", Fraction(1)), "$": ("dollars", Fraction(1)), "€": ("euros", Fraction(1)),
    "night": ("nights", Fraction(1)), "nights": ("nights", Fraction(1)),
    "acre": ("length²", Fraction("4046.8564224")), "acres": ("length²", Fraction("4046.8564224")),
    "survey_acre": ("length²", Fraction(62726400000, 15499969)),
    "fathom": ("length", Fraction("1.8288")), "fathoms": ("length", Fraction("1.8288")),
    "survey_fathom": ("length", Fraction(7200, 3937)),
    "count": ("", Fraction(1)), "%": ("", Fraction(1, 100)), "‰": ("", Fraction(1, 1000)), "1": ("", Fraction(1)),
    "share": ("", Fraction(1)),
}  # fmt: skip
_ALIASES: Final = {
    "US_gallon": "US_liquid_gallon", "US_quart": "US_liquid_quart", "UK_gallon": "imperial_gallon",
    "UK_pint": "imperial_pint", "UK_fluid_ounce": "imperial_fluid_ounce", "°": "degree", "kilo": "kilogram",
    "square_foot": "foot**2", "micron": "micrometer",
}  # fmt: skip
# pint reads these as constants, as logarithmic units, or as something no record means (pH is a picohenry)
_REFUSED: Final = frozenset(
    ("c", "e", "k", "pi", "R", "G", "N_A", "g_0", "g_n", "pH", "dB", "dBm", "decibel", "neper", "Np", "octave", "decade"
     , "B", "Bm", "bel", "degC", "degF", "degR", "degRe", "delta_degC", "delta_degF", "a")
)  # fmt: skip
_FACTOR: Final = re.compile(r"([^\W\d]\w*|[£$€%‰°]|1)(?:(?:\^|\*\*)?([-−]?[1-9])(?!\d)|(⁻?[¹²³⁴-⁹]))?")
_RAISED: Final = str.maketrans("¹²³⁴⁵⁶⁷⁸⁹⁻−", "123456789--")
_PER_CENT: Final = re.compile(
    r"^(%|per ?cent|percent) (?:of|by|ethanol by|formaldehyde by) [^%\d]+$|^percentage points?$"
)
_NAMES: Final = {
    "": "a number", "length": "a length", "length²": "an area", "length³": "a volume", "mass": "a mass",
    "time": "a time", "temperature": "a temperature",
    "length·mass·time⁻²": "a force", "length⁻¹·mass·time⁻²": "a pressure", "length²·mass·time⁻²": "an energy",
    "length²·mass·time⁻³": "an energy per time", "length·time⁻¹": "a speed", "length·time⁻²": "an acceleration",
    "length⁻³·mass": "a density", "time⁻¹": "a number per time", "length³·time⁻¹": "a volume per time",
    "mass·time⁻¹": "a mass per time", "length⁻²": "a number per area", "length⁻³": "a number per volume",
    "pounds sterling": "an amount in pounds sterling", "dollars": "an amount in dollars", "euros": "an amount in euros",
    "length²·time⁻²": "an energy per mass", "nights": "a number of nights",
}  # fmt: skip
_UP: Final = str.maketrans("0123456789-/", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻⸍")


def find_ambiguous(text: str) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Start, end and what to write instead of each kind of unit in a text, the first of each, that names several."""
    text = text[:500]
    lower = text.lower()
    for hints, pattern, choices in _SEVERAL:
        found = pattern.search(text) if any(hint in lower for hint in hints) else None
        if found:
            yield *found.span(found.lastindex or 0), choices


def ambiguous_unit(text: str) -> tuple[str, ...] | None:
    """What to write instead of a unit, alone or in a sentence, that names several units; None where it is clear."""
    return next((choices for _, _, choices in find_ambiguous(text)), None)


def _spell(dimension: Dimension) -> str:
    return "·".join(base if power == 1 else base + str(power).translate(_UP) for base, power in dimension)


def describe_dimension(dimension: Dimension) -> str:
    """A dimension in words: "a pressure", "an energy", else by its powers: "a quantity in length⁻²·mass"."""
    spelled = _spell(dimension)
    return _NAMES.get(spelled) or f"a quantity in {spelled}"


def multiply_dimensions(one: Dimension, other: Dimension, power: Fraction = Fraction(1)) -> Dimension:
    """The dimension of `one · other^power`."""
    powers = dict(one)
    for base, exponent in other:
        powers[base] = powers.get(base, Fraction(0)) + exponent * power
    return tuple(sorted((base, exponent) for base, exponent in powers.items() if exponent))


@lru_cache(maxsize=1)
def _load_registry() -> Any:
    import pint  # a quarter of a second: only when a calculation needs it

    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@lru_cache(maxsize=512)
def _read_name(name: str) -> tuple[Fraction, Dimension] | None:
    own = _OWN.get(name)
    if own is not None:
        base, factor = own
        power = Fraction(2) if base.endswith("²") else Fraction(1)
        return factor, (((base.rstrip("²"), power),) if base else ())
    if name in _REFUSED or name.startswith("delta_") or len(name) > 30:
        return None
    registry = _load_registry()
    try:
        unit = registry.parse_units(_ALIASES.get(name, name))
        factor, _ = registry.get_root_units(unit)
        dimensions = unit.dimensionality
    except Exception:  # pint raises many kinds for names it does not know
        return None
    if not isinstance(factor, (int, Fraction)):
        return None
    return Fraction(factor), tuple(sorted((base.strip("[]"), Fraction(power)) for base, power in dimensions.items()))


def _read_product(text: str, name: str) -> Unit | UnitFault:
    """A product or quotient of unit names with small powers."""
    factor = Fraction(1)
    dimension: Dimension = ()
    unknown = UnitFault("unknown-unit", f"`{text}` is no unit known here", ("count",))
    spelled = re.sub(r"\s*(?:/|\bper\b)\s*", "/", text).replace("·", "*")
    spelled = re.sub(r"(?<=\w) (?=[^\W\d])", "_", spelled)
    sign, at = (-1, 1) if spelled.startswith("/") else (1, 0)
    if at == len(spelled):
        return unknown
    while at < len(spelled):
        found = _FACTOR.match(spelled, at)
        if found is None:
            return unknown
        word = found[1]
        power = int((found[2] or found[3] or "1").translate(_RAISED)) * sign
        parts = [word] if _read_name(word) is not None else word.split("_")
        for index, part in enumerate(parts):
            read = _read_name(part)
            if read is None:
                return unknown
            own = power if index == len(parts) - 1 else sign
            factor *= read[0] ** own
            dimension = multiply_dimensions(dimension, read[1], Fraction(own))
        at = found.end()
        if at < len(spelled):
            if spelled[at] not in "*/" or at + 1 == len(spelled):
                return unknown
            sign = -1 if spelled[at] == "/" else 1
            at += 1
    return Unit(name, factor, dimension)


@lru_cache(maxsize=512)
def parse_unit(text: str) -> Unit | UnitFault:
    """The unit a text names. An empty text is `count`; `a/b/c` is a/(b·c); a fault says what to write instead."""
    spelled = " ".join(text.split())
    if not spelled:
        return Unit("count", Fraction(1), ())
    if len(spelled) > 60:
        return UnitFault("unknown-unit", "the unit is longer than 60 characters")
    if _PER_CENT.match(spelled):
        return Unit(spelled, Fraction(1, 100), ())
    if spelled in {"US proof", "UK proof"}:  # share of ethanol by volume: 200 and 175 proof are pure
        return Unit(spelled, Fraction(1, 200) if spelled[1] == "S" else Fraction(4, 700), ())
    difference = _DIFFERENCE.match(spelled)
    if difference is not None:
        scale = "°F" if spelled.count("F") else "°C"
        return Unit(f"{scale} difference", _SCALES[scale][0], (("temperature", Fraction(1)),), temperature="difference")
    choices = ambiguous_unit(spelled)
    if choices is not None:
        return UnitFault("ambiguous-unit", f"`{spelled}` names more than one unit", choices)
    name = name_unit(spelled)
    reading = _READINGS.get(name.replace("° ", "°"))
    if reading is not None:
        factor, offset = _SCALES[reading]
        return Unit(reading, factor, (("temperature", Fraction(1)),), offset, "reading")
    if name in {"K", "kelvin"}:
        return Unit("K", Fraction(1), (("temperature", Fraction(1)),), temperature="kelvin")
    if "°C" in name or "°F" in name:  # J/°C: a scale inside a product is a difference
        name = name.replace("°C", "K")
        if "°F" in name:
            return UnitFault("ambiguous-unit", f"`{spelled}` holds a reading of a scale", ("K",))
    return _read_product(name, name)


def say_quantity(value: str, unit: str) -> str:
    """A value with its unit as readers are shown it: `365 days`, `1,441.94 g`.

    Thousands are parted by commas, as in the results of calculations; years are not. A share says of what it is.
    """
    unit = " ".join(unit.split())
    told = " ".join(value.split())
    head, _, last = unit.rpartition(" ")
    if last != "year":
        told = _THOUSANDS.sub(lambda found: f"{Decimal(found[0]):,}", told)
    if unit in ("", "count"):
        return told
    if told != "1" and last in _PLURALS:
        unit = f"{head} {_PLURALS[last]}".strip()
    return f"{told} {_SHARES.get(unit, unit)}"


_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{3,}(?![\d,])")
_PLURALS = {
    **{word: f"{word}s" for word in (
        "second", "minute", "hour", "day", "night", "week", "month", "year", "pound", "ounce", "gallon", "pint",
        "quart", "mile", "yard", "ton", "tonne", "grain", "litre", "metre", "kilometre", "gram", "kilogram",
        "bushel", "acre",
    )},
    "foot": "feet",
    "inch": "inches",
}  # fmt: skip
_SHARES = {"% of occurrence": "% by occurrence", "% of mass": "% by mass", "% of count": "% by number"}


def convert(value: Decimal | Fraction, source: str, target: str) -> Fraction | UnitFault:
    """`value` in `source` units as an exact number of `target` units; a fault where the two do not fit."""
    old, new = parse_unit(source), parse_unit(target)
    if isinstance(old, UnitFault):
        return old
    if isinstance(new, UnitFault):
        return new
    if old.dimension != new.dimension:
        first, second = describe_dimension(old.dimension), describe_dimension(new.dimension)
        return UnitFault("units-do-not-fit", f"{first} (`{old.name}`) met {second} (`{new.name}`)")
    if {old.temperature, new.temperature} == {"reading", "difference"}:
        return UnitFault(
            "ambiguous-unit", "a reading of a scale met a difference", ("°C difference", "°F difference", "K")
        )
    return (Fraction(value) * old.factor + old.offset - new.offset) / new.factor


def round_converted(value: Decimal, step: Decimal) -> Decimal:
    """A converted value at the precision of its original; `step` is the original's last digit's place, converted.

    The place is the largest power of ten not above `step`: 36 ft is 11.0 m, not 11 m (NIST SP 811, 2008, B.7.2).
    """
    if step <= 0:
        return value
    return value.quantize(Decimal(1).scaleb(step.adjusted()), rounding=ROUND_HALF_UP)
