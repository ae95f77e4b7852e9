"""Units as prose writes them: which unit stands after a number, and exact conversion within a dimension.

In: text and a place in it, or a value and two unit names. Out: the unit's one spelling here (`mm`, `gram` → `g`,
`per cent` → `%`, `kilojoules a day` → `kJ/day`) and the place behind it; a converted `Decimal`, or None where two units
do not measure the same thing. Bare `gallon`, `pint`, `fluid ounce` and `ton` name no one unit and convert to nothing.

Factors are exact: the international inch and pound and the US gallon of 231 cubic inches (16 CFR 500.19), the imperial
gallon of 4.54609 litres (Weights and Measures Act 1985, sch. 1), Fahrenheit and the calorie by definition.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Final

_TABLE: Final = """
length 1e-9 nm nanometre nanometer
length 1e-6 µm μm um micron micrometre micrometer
length 1e-3 mm millimetre millimeter
length 1e-2 cm centimetre centimeter
length 1 m metre meter
length 1e3 km kilometre kilometer
length 0.0254 inch
length 0.3048 foot ft feet
length 0.9144 yard yd
length 1609.344 mile
mass 1e-9 µg μg ug microgram
mass 1e-6 mg milligram
mass 1e-3 g gram gramme gm
mass 1 kg kilogram kilogramme kilo
mass 1e3 t tonne metric_ton
mass 0.45359237 pound lb
mass 0.028349523125 ounce oz
time 1 s second sec
time 60 min minute
time 3600 h hour hr
time 86400 day d
time 604800 week
months 1 month
months 12 year yr
months 120 decade
months 1200 century
night 1 night
volume 1e-9 µL μL ul microlitre microliter
volume 1e-6 mL ml millilitre milliliter cc
volume 1e-5 cL cl centilitre centiliter
volume 1e-4 dL dl decilitre deciliter
volume 1e-3 L l litre liter
volume 1e-9 mm³ mm3 cubic_millimetre cubic_millimeter
volume 1e-6 cm³ cm3 cubic_centimetre cubic_centimeter
volume 1 m³ m3 cubic_metre cubic_meter
volume 3.785411784e-3 US_gallon
volume 4.54609e-3 imperial_gallon UK_gallon
volume 4.73176473e-4 US_pint
volume 5.6826125e-4 imperial_pint UK_pint
volume 2.95735295625e-5 US_fluid_ounce US_fl_oz
volume 2.84130625e-5 imperial_fluid_ounce UK_fluid_ounce imperial_fl_oz
gallon 1 gallon gal
pint 1 pint
fluid_ounce 1 fluid_ounce fl_oz fl._oz
ton 1 ton
area 1e-6 mm² mm2 square_millimetre square_millimeter
area 1e-4 cm² cm2 square_centimetre square_centimeter
area 1 m² m2 square_metre square_meter
area 1e6 km² km2 square_kilometre square_kilometer
area 1e4 ha hectare
area 4046.8564224 acre
area 2589988.110336 square_mile
area 0.09290304 square_foot square_feet
area 0.00064516 square_inch
energy 1 J joule
energy 1e3 kJ kilojoule
energy 1e6 MJ megajoule
energy 4.184 cal calorie
energy 4184 kcal kilocalorie
power 1 W watt
force 1 N newton
force 1e3 kN kilonewton
pressure 1 Pa pascal
pressure 1e3 kPa kilopascal
pressure 1e6 MPa megapascal
psi 1 psi
frequency 1 Hz hertz
frequency 1e3 kHz kilohertz
temperature 1 °C degree_Celsius degree_celsius degree_centigrade
temperature 5/9 °F degree_Fahrenheit degree_fahrenheit
temperature 1 K kelvin
angle 1 degree ° deg
share 1/100 % percent per_cent percentage_point
share 1/1000 ‰ per_mille per_mil
£ 1 £ pound_sterling
$ 1 $ dollar US$
€ 1 € euro
fathom 1 fathom
ppm 1 ppm
count 1 count 1
"""
_OFFSET: Final = {"°C": Fraction(27315, 100), "°F": Fraction(45967, 180), "K": Fraction(0)}
_IRREGULAR: Final = {"inch": "inches", "century": "centuries", "hertz": "hertz", "square_inch": "square inches"}
# Letters that are words as often as units ("20 in all", "5 t"): only directly after a digit number, and never `in`.
_PLURAL_ONLY: Final = frozenset({"second"})  # "the two second eggs": the bare singular is an ordinal


def _build() -> tuple[dict[str, str], dict[str, tuple[str, Fraction]]]:
    words: dict[str, str] = {}
    measures: dict[str, tuple[str, Fraction]] = {}
    for row in _TABLE.strip().splitlines():
        dimension, factor, *forms = row.split()
        name = forms[0].replace("_", " ")
        measures[name] = (dimension, Fraction(factor))
        for form in forms:
            spoken = form.replace("_", " ")
            words[spoken] = name
            if len(spoken) > 2 and spoken.replace(" ", "").isalpha() and form not in {"feet", "per_cent", "percent"}:
                plural = _IRREGULAR.get(form, spoken + "s")
                words[plural if " " not in spoken or "degree" not in spoken else "degrees " + spoken[7:]] = name
    del words["count"], words["1"], words["counts"]
    words |= {"yds": "yard", "lbs": "pound", "hrs": "h", "yrs": "year", "degrees": "degree", "gals": "gallon"}
    return words, measures


_WORDS, _MEASURES = _build()
_LEADS: Final = frozenset(form.split(" ")[0] for form in _WORDS if " " in form)
_SPACE: Final = "[ \u00a0\u2009\u202f\n-]"
_WORD: Final = re.compile(
    rf"{_SPACE}?(°\s?[CFK]?(?![A-Za-z])|[%‰]|(?:[^\W\d_]{{1,24}}[²³]?|[A-Za-z]{{1,2}}[23])(?![^\W_]))"
)
_MORE: Final = re.compile(rf"{_SPACE}([A-Za-z.]+)(?:{_SPACE}([A-Za-z]+))?")
_RATE: Final = re.compile(
    rf"{_SPACE}?(?:/|(?:per|each|every|an?|in an?|in one)(?={_SPACE}))(?:{_SPACE}?)(?=[^\W\d_])", re.ASCII
)
_EACH: Final = re.compile(rf"{_SPACE}(?:a ?piece|each)\b")
_ADVERB: Final = {"daily": "day", "yearly": "year", "annually": "year", "nightly": "night", "weekly": "week"}


def _read_one(text: str, at: int) -> tuple[str, int]:
    found = _WORD.match(text, at)
    if found is None:
        return "", at
    word = found[1].replace(" ", "") if found[1][0] == "°" else found[1]
    end = found.end()
    if word in _LEADS or word.lower() in _LEADS:
        more = _MORE.match(text, end)
        if more is not None:
            for last in (2, 1):
                if more[last] is None:
                    continue
                phrase = " ".join([word, *(more[index] for index in range(1, last + 1))])
                for form in (phrase, phrase.rstrip(".")):  # "70 per cent." ends a sentence
                    name = _WORDS.get(form) or _WORDS.get(form.lower())
                    if name:
                        return name, more.end(last) - len(phrase) + len(form)
    # Symbols keep their case (mm, kJ); whole words may begin a heading.
    name = _WORDS.get(word) or (_WORDS.get(word.lower()) if len(word) > 3 else None)
    if not name or (word in _PLURAL_ONLY and text[found.start()] != "-"):
        return "", at
    return name, end


def read_unit(text: str, at: int) -> tuple[str, int]:
    """Unit written at place `at` of a text (just behind a number), and the place behind it; `("", at)` without one."""
    name, end = _read_one(text, at)
    if not name:
        rate = _RATE.match(text, at)  # "65.6 per cm²", "122 a year"
        under, behind = _read_one(text, rate.end()) if rate is not None else ("", at)
        return (f"1/{under}", behind) if under and under not in {"%", "‰"} else ("", at)
    each = _EACH.match(text, end)
    if each is not None:
        return name, each.end()
    rate = _RATE.match(text, end)
    if rate is not None:
        under, behind = _read_one(text, rate.end())
        if under and under not in {"%", "‰"}:
            return f"{name}/{under}", behind
    word = _WORD.match(text, end)
    if word is not None and word[1] in _ADVERB:
        return f"{name}/{_ADVERB[word[1]]}", word.end()
    return name, end


def name_unit(text: str) -> str:
    """The one spelling here of a unit given alone (`mm`, `kJ/day`, `percent`); any other text comes back as it is."""
    name, end = read_unit(text, 0)
    return name if name and end == len(text) else text


def _measure(unit: str) -> tuple[str, Fraction] | None:
    over, _, under = unit.partition("/")
    top = _MEASURES.get(over)
    if top is None or not under:
        return top
    below = _MEASURES.get(under)
    return None if below is None else (f"{top[0]}/{below[0]}", top[1] / below[1])


def _is_time_rate(unit: str) -> bool:
    return unit.partition("/")[2] in {"s", "min", "h", "day", "week", "month", "year", "night"}


def convert_unit(value: Decimal, source: str, target: str) -> Decimal | None:
    """`value` in `source` units, in `target` units (28 significant digits), or None where they do not fit.

    A rate over time and the same without its time fit: prose gives the time elsewhere ("each night … 20 g").
    """
    source, target = ("1" if unit in {"", "count"} else unit for unit in (source, target))
    if source == target:
        return value
    if ("/" in source) != ("/" in target):
        if _is_time_rate(source):
            source = source.partition("/")[0]
        elif _is_time_rate(target):
            target = target.partition("/")[0]
        if source == target:
            return value
    old, new = _measure(source), _measure(target)
    if old is None or new is None or old[0] != new[0]:
        return None
    shift = _OFFSET.get(source, Fraction(0)) if old[0] == "temperature" else Fraction(0)
    back = _OFFSET.get(target, Fraction(0)) if old[0] == "temperature" else Fraction(0)
    result = ((Fraction(value) * old[1] + shift) - back) / new[1]
    return Decimal(result.numerator) / Decimal(result.denominator)
