"""Find the exact coordinates of a withheld place in finished text, however they are written.

In: WGS84 latitude and longitude as `Decimal` degrees, and the step to which the place is shown (None: not at all). Out:
the usual ways to write the point; a pattern that finds it and never the rounded point; keys that tell quickly which of
many texts and places need the pattern. Refused: a step other than 1, 0.1, 0.01 or 0.001 raises `ValueError`.

Known to the pattern: decimal degrees with point or comma, degrees and minutes, degrees, minutes and seconds; letters
before or after, any sign, words, HTML, JSON and URL escapes. Not known: national grids and other projections.
"""

import html
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction
from urllib.parse import unquote

from builder.weigh.locality import round_to_step


def written_forms(latitude: Decimal, longitude: Decimal) -> tuple[str, ...]:
    """The usual ways to write a point: decimal, degrees and minutes, degrees, minutes and seconds; sign or letter."""
    letters = ("N" if latitude >= 0 else "S", "E" if longitude >= 0 else "W")
    values = (latitude.copy_abs(), longitude.copy_abs())
    signs = tuple("" if value >= 0 else "-" for value in (latitude, longitude))
    forms = []
    for mark, separator in ((".", ", "), (",", "; ")):
        lat, lon = (f"{value:f}".replace(".", mark) for value in values)
        forms += [f"{signs[0]}{lat}{separator}{signs[1]}{lon}", f"{signs[1]}{lon} {signs[0]}{lat}"]
        forms += [f"{lat}° {letters[0]}, {lon}° {letters[1]}", f"{letters[0]}{lat} {letters[1]}{lon}"]
    forms.append(forms[0].replace("-", "−"))
    with_seconds = [_sexagesimal(value) for value in values]
    with_minutes = [_degrees_minutes(value) for value in values]
    for shape, parts in (
        ("{0}°{1:02}′{2}″{3}", with_seconds),
        ("{3} {0}° {1}' {2}\"", with_seconds),
        ("{0} {1:02} {2} {3}", with_seconds),
        ("{0}:{1:02}:{2}{3}", with_seconds),
        ("{0}d {1}m {2}s {3}", with_seconds),
        ("{0}°{1}′{2}", with_minutes),
        ("{2} {0}° {1}'", with_minutes),
    ):
        forms.append(", ".join(shape.format(*part, letter) for part, letter in zip(parts, letters, strict=True)))
    return tuple(dict.fromkeys(forms))


def coordinate_pattern(latitude: Decimal, longitude: Decimal, step: Decimal | None) -> re.Pattern[str]:
    """A pattern for the exact point in finished text; it never matches the point rounded to `step` (None: none shown).

    It finds the pair in either order, and each value alone where that is telling: from three decimals (four with a
    decimal comma), in degrees and minutes, or in degrees, minutes and seconds. Values rounded or cut to more digits
    than the step count as exact; signs are ignored. A point no finer than the step gives a pattern without a match.
    """
    lat, lon = _Hidden.of(latitude, step), _Hidden.of(longitude, step)
    choices = []
    for one, other in ((lat, lon), (lon, lat)):
        choices += _opening(one.alone)
        if one.paired:
            choices += (f"{start}{_GAP}{_following(other.paired + other.shown)}" for start in _opening(one.paired))
        if other.paired:
            choices += (f"{start}{_GAP}{_following(other.paired)}" for start in _opening(one.shown))
    if not choices:
        return re.compile("(?!)")
    return re.compile(rf"[0-9.,](?<![0-9].)(?<![0-9]\..)(?:{'|'.join(choices)})", re.IGNORECASE)


def coordinate_keys(latitude: Decimal, longitude: Decimal, step: Decimal | None) -> frozenset[str]:
    """Keys of a withheld point: a text in which `coordinate_pattern` matches has one of them among its `keys_in`.

    So thousands of finished pages are read once for keys, and a pattern is only made where one is met.
    """
    return _Hidden.of(latitude, step).keys | _Hidden.of(longitude, step).keys


def keys_in(text: str) -> frozenset[str]:
    """Keys of all that could be part of a coordinate in `text`: numbers with decimals, and degrees with minutes."""
    text = _ESCAPE.sub(lambda found: _unescaped(found[0]), text)
    keys = set()
    whole, end = "", -1
    for found in _DIGITS.finditer(text):
        digits = found[0]
        between = text[end : found.start()] if 0 < found.start() - end < 24 else ""
        if between in (".", ","):
            keys.add(_decimal_key(whole, digits))
        elif between and _DEGREE_SIGN.fullmatch(between):
            keys.add(_angle_key(whole, digits))
        if text[max(0, found.start() - 1) : found.start()] in (".", ","):
            keys.add(_decimal_key("0", digits))  # a decimal without its nought
        whole, end = digits, found.end()
    return frozenset(keys)


_BLANK = r"(?:\s|&nbsp;|&\#160;|\\u00a0|%20)"
_DEGREE_MARK = r"(?:°|º|˚|&deg;|&\#176;|&\#xb0;|\\u00b0|%C2%B0|deg(?:rees?)?\.?|d)"
_MINUTE_MARK = r"(?:['′’ʹ]|&prime;|&\#39;|&\#x27;|&\#8242;|\\u2032|min(?:utes?)?\.?|m(?![a-z]))"
_SECOND_MARK = r"(?:[\"″”ʺ]|''|′′|’’|&quot;|&Prime;|&\#34;|&\#8243;|\\u2033|sec(?:onds?)?|s(?![a-z]))"
_LETTER = r"(?:[NSEW](?![a-z])|north|south|east|west)"
_STRONG = rf"{_BLANK}*{_DEGREE_MARK}{_BLANK}*"
_WEAK = rf"(?:{_BLANK}*:{_BLANK}*|{_BLANK}+)"
_TO_SECONDS = rf"(?:{_BLANK}*{_MINUTE_MARK}{_BLANK}*|{_WEAK})"
_MINUTES_END = rf"{_BLANK}*(?:{_MINUTE_MARK}|{_LETTER})"
_SECONDS_END = rf"{_BLANK}*(?:{_SECOND_MARK}|{_LETTER})"
_NO_SECONDS = rf"(?!{_BLANK}*{_MINUTE_MARK}?{_BLANK}*[0-9]{{1,2}}(?:[.,][0-9]+)?{_SECONDS_END})"
_NUMBER_END = r"(?![0-9]|[.,][0-9])"
_GAP = r"(?>%[0-9a-f]{2}|&\#?x?[0-9a-z]+;|\\u[0-9a-f]{4}|[^0-9]){1,60}?"
_DIGITS = re.compile("[0-9]+")
_ESCAPE = re.compile(r"&\#?x?[0-9a-z]{2,8};|\\u[0-9a-f]{4}|(?:%[0-9a-f]{2})+", re.IGNORECASE)
_DEGREE_SIGN = re.compile(rf"{_STRONG}|{_WEAK}", re.IGNORECASE)

_MOST_PLACES = 6  # a tenth of a metre; what follows is the noise of floating point

_Form = tuple[str, str]  # whole degrees, and a pattern for what follows them


@dataclass(frozen=True)
class _Hidden:
    """Ways to write one withheld value: those that tell alone, those that tell in a pair, and the one shown anyway."""

    alone: tuple[_Form, ...]
    paired: tuple[_Form, ...]
    shown: tuple[_Form, ...]
    keys: frozenset[str]

    @classmethod
    def of(cls, value: Decimal, step: Decimal | None) -> "_Hidden":
        value = value.copy_abs()
        shown = None if step is None else round_to_step(value, step)
        decimals = tuple(_decimal_forms(value, step, shown))
        angles = tuple(_angle_forms(value, step, shown))
        written = [f"{form:f}".split(".") for form in decimals]
        return cls(
            alone=(
                *(_decimal_form(form, alone=True) for form in decimals if _is_telling(form)),
                *((degrees, alone) for degrees, alone, _, _ in angles),
            ),
            paired=(
                *(_decimal_form(form) for form in decimals),
                *((degrees, paired) for degrees, _, paired, _ in angles),
            ),
            # whole degrees beside a number with decimals are too common in plain prose
            shown=() if shown is None or step == 1 else (_decimal_form(shown),),
            keys=frozenset((*(_decimal_key(*pair) for pair in written), *(key for *_, keys in angles for key in keys))),
        )


def _opening(forms: tuple[_Form, ...]) -> list[str]:
    """Patterns for forms of which the first character has been read, so that the search starts at digits only."""
    return [
        (rf"(?:(?<=0)0*|(?<=[.,])){rest}" if whole == "0" else rf"(?:(?<={whole[0]}){whole[1:]}|(?<=0)0*{whole}){rest}")
        for whole, rest in _grouped(forms)
    ]


def _following(forms: tuple[_Form, ...]) -> str:
    starts = "|".join(f"{'' if whole == '0' else whole}{rest}" for whole, rest in _grouped(forms))
    return rf"(?<![0-9])(?<![0-9]\.)0*(?:{starts})"


def _grouped(forms: tuple[_Form, ...]) -> list[_Form]:
    rests: dict[str, list[str]] = {}
    for whole, rest in forms:
        rests.setdefault(whole, []).append(rest)
    return [(whole, f"(?:{'|'.join(dict.fromkeys(found))})") for whole, found in rests.items()]


def _decimal_forms(value: Decimal, step: Decimal | None, shown: Decimal | None) -> Iterator[Decimal]:
    """A value rounded and cut to each number of decimals beyond the step's, but never what is shown anyway."""
    for places in range(1 if step is None else _places(step) + 1, min(_places(value), _MOST_PLACES) + 1):
        cut, rounded = (value.quantize(Decimal(1).scaleb(-places), rounding=way) for way in (ROUND_DOWN, ROUND_HALF_UP))
        yield from (form for form in dict.fromkeys((cut, rounded)) if form != shown)


def _decimal_form(form: Decimal, *, alone: bool = False) -> _Form:
    whole, _, decimals = f"{form:f}".partition(".")
    mark = r"\." if alone and len(decimals) == 3 else "[.,]"  # 51,234 alone is a number of thousands
    mark = f"(?:(?<={mark})|{mark})" if whole == "0" else mark
    goes_on = f"(?:{'0' * (_MOST_PLACES - len(decimals))}[0-9]*|0*)"
    return whole, rf"{mark}{decimals}{goes_on}(?![0-9]|\.[0-9])"


def _is_telling(form: Decimal) -> bool:
    """Whether a decimal alone points to the place: three decimals or more, not a round number, not one like 0.001."""
    return -int(form.as_tuple().exponent) >= 3 and form != int(form) and len(form.as_tuple().digits) > 1


def _angle_forms(
    value: Decimal, step: Decimal | None, shown: Decimal | None
) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
    """By whole degrees: what follows them where the value tells alone, what in a pair, and the keys."""
    minutes: dict[int, list[tuple[Fraction, int]]] = {}  # degrees -> minutes and their number of decimals
    seconds: dict[tuple[int, int], list[str]] = {}  # degrees and minutes -> patterns of seconds
    for unit, most_places in ((60, 5), (3600, 4)):
        for places in range(most_places + 1):
            if step is not None and Fraction(1, unit * 10**places) >= Fraction(step):
                continue  # no finer than what is shown
            for count in _both_ways(Fraction(value) * unit, places):
                if shown is not None and count / unit == Fraction(shown):
                    continue
                degrees, rest = divmod(count, unit)
                if unit == 60:
                    minutes.setdefault(degrees, []).append((rest, places))
                else:
                    minute, second = divmod(rest, 60)
                    seconds.setdefault((degrees, int(minute)), []).append(_angle_digits(second, places))
    for degrees in sorted({*minutes, *(whole for whole, _ in seconds)}):
        by_minute = {minute: _either(listed) for (whole, minute), listed in seconds.items() if whole == degrees}
        timed = [f"0?{minute}{_TO_SECONDS}{listed}" for minute, listed in by_minute.items()]
        plain = [_angle_digits(*minute) for minute in minutes.get(degrees, [])]
        strong = [f"{_either(timed)}{_NUMBER_END}"] if timed else []
        weak = [f"{_either(timed)}{_SECONDS_END}"] if timed else []
        loose = list(strong)
        if plain:
            weak.append(f"{_either(plain)}{_NO_SECONDS}{_MINUTES_END}")
            loose.append(f"{_either(plain)}{_NUMBER_END}{_NO_SECONDS}")
            strong.append(loose[-1] + _MINUTES_END)
        guard = "(?<=0)" if degrees == 0 else ""
        keys = {int(minute) for minute, _ in minutes.get(degrees, [])} | set(by_minute)
        yield (
            str(degrees),
            f"{guard}(?:{_STRONG}{_either(strong)}|{_WEAK}{_either(weak)})",
            f"{guard}(?:{_STRONG}|{_WEAK}){_either(loose)}",
            tuple(_angle_key(str(degrees), str(key)) for key in sorted(keys)),
        )


def _either(patterns: list[str]) -> str:
    return f"(?:{'|'.join(dict.fromkeys(patterns))})" if patterns else ""


def _both_ways(value: Fraction, places: int) -> tuple[Fraction, ...]:
    """`value` cut and rounded (half up) to a number of decimals."""
    scaled = value * 10**places
    counts = (math.floor(scaled), math.floor(scaled + Fraction(1, 2)))
    return tuple(Fraction(count, 10**places) for count in dict.fromkeys(counts))


def _angle_digits(value: Fraction, places: int) -> str:
    whole = int(value)
    decimals = int((value - whole) * 10**places)
    return f"0?{whole}" + (f"[.,]{decimals:0{places}}0*" if places else "(?:[.,]0+)?")


def _decimal_key(whole: str, decimals: str = "") -> str:
    return f"{whole.lstrip('0')}.{decimals[:_MOST_PLACES].rstrip('0')}"


def _angle_key(degrees: str, minutes: str) -> str:
    return f"{degrees.lstrip('0')}:{minutes.lstrip('0')}"


def _unescaped(escape: str) -> str:
    if escape[0] == "&":
        return html.unescape(escape)
    return chr(int(escape[2:], 16)) if escape[0] == "\\" else unquote(escape, errors="replace")


def _places(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _sexagesimal(value: Decimal) -> tuple[int, int, Decimal]:
    minutes, seconds = divmod((value * 3600).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP), 60)
    return int(minutes) // 60, int(minutes) % 60, seconds


def _degrees_minutes(value: Decimal) -> tuple[int, Decimal]:
    degrees, minutes = divmod((value * 60).quantize(Decimal("0.001"), rounding=ROUND_HALF_UP), 60)
    return int(degrees), minutes
