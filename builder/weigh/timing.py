"""Turn written text into spoken words, and words into seconds.

In: plain text, without marks or markup. Out: the text as a British speaker reads it aloud ("12.5 mm" is "twelve point
five millimetres"), its words counted, seconds at a rate, words for a slot. Refused: a rate or share that is not above
zero raises `ValueError`; no text does.

What is spoken: numbers, decimals, years, decades, ordinals, ranges ("to"), per cent, units after a number, money, clock
times, dates, signs between numbers, common abbreviations, initials such as DNA. A bare whole number from 1100 to 2099
without comma or unit is read as a year. Letters and digits run together, as in a catalogue number, are read one piece
after another. A hyphen parts two spoken words.

Rates: Videomaker production notes, n.d. (65 words = 30 s); Rodero 2012, *Text & Talk* 32:391–411 (160–180 words a
minute recommended on radio). There is no single rate: show a range.
"""

import re
import unicodedata
from collections.abc import Callable
from decimal import ROUND_FLOOR, Decimal

from builder.weigh.date import MONTHS

_ONES = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
         "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_SCALES = ((10**12, "trillion"), (10**9, "billion"), (10**6, "million"), (1000, "thousand"))
_ORDINALS = {"one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth",
             "twelve": "twelfth"}  # fmt: skip
_FRACTIONS = {"1/2": "a half", "1/3": "a third", "2/3": "two thirds", "1/4": "a quarter", "3/4": "three quarters",
              "1/5": "a fifth", "1/8": "an eighth", "1/10": "a tenth"}  # fmt: skip
# unit -> one, several
_UNITS = {
    "mm": ("millimetre", "millimetres"), "cm": ("centimetre", "centimetres"), "m": ("metre", "metres"),
    "km": ("kilometre", "kilometres"), "µm": ("micrometre", "micrometres"), "nm": ("nanometre", "nanometres"),
    "mg": ("milligram", "milligrams"), "g": ("gram", "grams"), "kg": ("kilogram", "kilograms"),
    "µg": ("microgram", "micrograms"), "t": ("tonne", "tonnes"), "ml": ("millilitre", "millilitres"),
    "mL": ("millilitre", "millilitres"), "l": ("litre", "litres"), "L": ("litre", "litres"),
    "ha": ("hectare", "hectares"), "J": ("joule", "joules"), "kJ": ("kilojoule", "kilojoules"),
    "kcal": ("kilocalorie", "kilocalories"), "N": ("newton", "newtons"), "kN": ("kilonewton", "kilonewtons"),
    "Pa": ("pascal", "pascals"), "kPa": ("kilopascal", "kilopascals"), "MPa": ("megapascal", "megapascals"),
    "W": ("watt", "watts"), "kW": ("kilowatt", "kilowatts"), "Hz": ("hertz", "hertz"),
    "kHz": ("kilohertz", "kilohertz"),
    "dB": ("decibel", "decibels"), "ms": ("millisecond", "milliseconds"), "s": ("second", "seconds"),
    "min": ("minute", "minutes"), "h": ("hour", "hours"), "ft": ("foot", "feet"), "in": ("inch", "inches"),
    "yd": ("yard", "yards"), "lb": ("pound", "pounds"), "oz": ("ounce", "ounces"),
    "mph": ("mile an hour", "miles an hour"), "ppm": ("part per million", "parts per million"),
    "%": ("per cent", "per cent"), "‰": ("per thousand", "per thousand"),
    "°C": ("degree Celsius", "degrees Celsius"), "°F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "°N": ("degree north", "degrees north"), "°S": ("degree south", "degrees south"),
    "°E": ("degree east", "degrees east"), "°W": ("degree west", "degrees west"), "°": ("degree", "degrees"),
    "day": ("day", "days"), "year": ("year", "years"), "hour": ("hour", "hours"), "night": ("night", "nights"),
    "mi": ("mile", "miles"),
}  # fmt: skip
_WORDS = frozenset({"day", "night", "year", "hour"})  # read as they stand, but for "a day" after a stroke
_POWERS = {"²": "square ", "³": "cubic ", "": ""}
_MONEY = {"£": ("pound", "pounds"), "$": ("dollar", "dollars"), "€": ("euro", "euros")}
_ABBREVIATIONS = {
    "e.g.": "for example", "i.e.": "that is", "etc.": "et cetera", "et al.": "and others", "cf.": "compare",
    "approx.": "approximately", "ca.": "about", "c.": "about", "vs.": "versus", "vs": "versus", "Dr": "Doctor",
    "Dr.": "Doctor", "Mr": "Mister", "Mr.": "Mister", "Mrs": "Missus", "Mrs.": "Missus", "Prof.": "Professor",
    "Fig.": "Figure", "fig.": "figure", "No.": "number", "no.": "number", "pp.": "pages", "p.": "page",
    "spp.": "species", "sp.": "species", "&": "and", "=": "equals", "+": "plus", "±": "plus or minus", "≈": "about",
    "<": "less than", ">": "more than", "≤": "at most", "≥": "at least", "→": "to",
}  # fmt: skip
_OPENING, _CLOSING = "([\"'“‘", ")]\"'”’,;:!?"
_INITIALS = frozenset({"DNA", "RNA", "CT", "UK", "US", "USA", "UV", "BBC", "GPS", "TV", "ID", "AD", "BC", "BCE", "CE"})

_NUMBER = r"(?:[0-9]{1,3}(?:[,\u202f\u2009][0-9]{3})+|[0-9]+)(?:\.[0-9]+)?"
_UNIT = "|".join(sorted(map(re.escape, _UNITS), key=lambda unit: (-len(unit), unit)))
_UNIT_END = r"(?![A-Za-z0-9²³µ°])"
_MONTH = "|".join(MONTHS)
_SHORTMONTHS = {month[:3]: month for month in MONTHS}
_TOKEN = re.compile(
    rf"""
    (?P<isodate>(?<![\w-])[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}(?![\w-]))
  | (?P<date>(?<![\w.,])[0-9]{{1,2}}\s(?:{_MONTH}|(?:{"|".join(_SHORTMONTHS)})\b\.?)(?:\s[0-9]{{4}}\b)?)
  | (?P<clock>(?<![\w:.])(?:[01]?[0-9]|2[0-3]):[0-5][0-9](?![\w:]))
  | (?P<code>(?<![\w./-])[A-Za-z]+(?:[./_-][A-Za-z]+)*[./_-]?[0-9](?:[\w./-]*\w)?|(?<![\w.,])[0-9]+(?:\.[0-9]+){{2,}})
  | (?P<money>[£$€]{_NUMBER}(?:\s(?:million|billion))?)
  | (?P<ordinal>(?<![\w.,])[0-9]+(?:st|nd|rd|th)\b)
  | (?P<decade>(?<![\w.,])[0-9]{{3}}0['’]?s\b)
  | (?P<fraction>(?<![\w.,/])(?:[0-9]+\s)?[0-9]{{1,3}}/[0-9]{{1,4}}(?![\w/]))
  | (?P<number>(?<![\w.,])(?:(?<![%‰°)])[-−–](?=[0-9]))?{_NUMBER}(?![0-9_]))
    """,
    re.VERBOSE,
)
_TRAILING_UNIT = re.compile(
    rf"[ -]?(?P<unit>{_UNIT})(?P<power>[²³]?)(?:(?:/|\sper\s)(?P<per>{_UNIT})(?P<by>[²³]?))?(?![A-Za-z0-9²³µ°])"
)
_INCHES = re.compile(r"\s*(?:[.,;)]|$|(?:long|wide|high|tall|deep)\b)")  # "12 in winter" is no inches
_BETWEEN = re.compile(r"\s?(?P<sign>[–—-]|\bto\b|×|x|\+|=|±|/)\s?(?=[0-9])")
_FOLLOWING = re.compile(rf"{_NUMBER}(?![.,]?[0-9:/])")
_RANGE_GOES_ON = re.compile(r"\s?[–—-]\s?(?=[0-9])")
_TIMES = re.compile(r"\s?×(?!\s?[0-9])")
_SIGNS = {"×": "by", "x": "by", "+": "plus", "=": "equals", "±": "plus or minus", "/": "over"}


def spoken_form(text: str) -> str:
    """The text as it is read aloud in British English, its sentence marks kept."""
    text = _plain_signs(text)
    parts: list[str] = []
    position = 0
    while found := _TOKEN.search(text, position):
        before = text[position : found.start()]
        spoken, position = _speak(found, text)
        lead, trail = (" " if side.isalnum() else "" for side in (before[-1:], text[position : position + 1]))
        parts.append(f"{before}{lead}{spoken}{trail}")
    parts.append(text[position:])
    return _speak_words("".join(parts))


def spoken_words(text: str) -> int:
    """How many words are heard: those of `spoken_form`, the two sides of a hyphen counted apart."""
    return sum(1 for piece in re.split(r"[\s–—/-]+", spoken_form(text)) if any(c.isalnum() for c in piece))


def speaking_seconds(words: int, *, rate_wpm: int) -> float:
    """Seconds to speak `words` at `rate_wpm` words a minute: 60 × words / rate."""
    if rate_wpm <= 0:
        raise ValueError("the rate must be above zero")
    return 60 * words / rate_wpm


def words_for_slot(minutes: Decimal | int, rate_wpm: int, *, share: Decimal = Decimal("0.75")) -> int:
    """Most words a slot holds: minutes × rate × spoken share, cut to whole words.

    The rest of a talk's slot goes on questions, walking and props; a script, spoken throughout, has a share of 1.
    """
    if minutes < 0 or rate_wpm <= 0 or not 0 < share <= 1:
        raise ValueError("minutes must not be negative, the rate above zero, the share above 0 and at most 1")
    return int((Decimal(minutes) * rate_wpm * share).to_integral_value(ROUND_FLOOR))


def cardinal(number: int) -> str:
    """A whole number in British words: "one hundred and five", "twenty-one", "two thousand and one"."""
    if number < 0:
        return f"minus {cardinal(-number)}"
    if number < 20:
        return _ONES[number]
    if number < 100:
        return _TENS[number // 10] + (f"-{_ONES[number % 10]}" if number % 10 else "")
    if number < 1000:
        return f"{_ONES[number // 100]} hundred" + (f" and {cardinal(number % 100)}" if number % 100 else "")
    for size, word in _SCALES:
        if number >= size:
            rest = number % size
            joint = " and " if 0 < rest < 100 else " "
            return f"{cardinal(number // size)} {word}" + (f"{joint}{cardinal(rest)}" if rest else "")
    raise AssertionError  # pragma: no cover


def ordinal(number: int) -> str:
    """A rank in words: "first", "twenty-first", "one hundredth"."""
    head, joint, last = re.fullmatch("(.*?)([- ]?)([a-z]+)", cardinal(number)).groups()  # type: ignore[union-attr]
    ranked = _ORDINALS.get(last) or (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th")
    return f"{head}{joint}{ranked}"


def year_in_words(year: int) -> str:
    """A year as spoken: "seventeen fifty-eight", "nineteen hundred", "nineteen oh five", "two thousand and nine"."""
    century, rest = divmod(year, 100)
    if not 1100 <= year < 2100 or 2000 <= year < 2010:
        return cardinal(year)
    if rest == 0:
        return f"{cardinal(century)} hundred"
    return f"{cardinal(century)} {f'oh {_ONES[rest]}' if rest < 10 else cardinal(rest)}"


def _plain_signs(text: str) -> str:
    """Even out what only looks different: hard blanks, micro signs, ready-made fractions."""
    text = text.replace("\u00a0", " ").replace("\u202f", " ").replace("μ", "µ").replace("º", "°")
    text = re.sub("(?<=[0-9])(?=[¼½¾⅓⅔⅕⅛⅒])", " ", text)
    text = re.sub("[¼½¾⅓⅔⅕⅛⅒]", lambda m: unicodedata.normalize("NFKC", m[0]).replace("\u2044", "/"), text)
    text = re.sub(
        r"(?<=[0-9])[ \u2009](?=[0-9]{3}(?:[ \u2009][0-9]{3}){0,3}(?![0-9]))(?<![0-9]{4}[ \u2009])", ",", text
    )
    text = re.sub(r"(?<=[0-9])\s+(?=[%‰°])", "", text)
    return re.sub(r"(?<=[0-9]°)\s+(?=[NSEWCF]\b)", "", text)


def _speak(found: re.Match[str], text: str) -> tuple[str, int]:
    """Words of one token, and where the text goes on after it and its unit."""
    kind, written = found.lastgroup, found[0]
    end = found.end()
    if kind == "isodate":
        year, month, day = (int(part) for part in written.split("-"))
        if 1 <= month <= 12 and 1 <= day <= 31:
            return f"the {ordinal(day)} of {MONTHS[month - 1]} {year_in_words(year)}", end
        return _spell_code(written), end
    if kind == "date":
        day_text, month_text, *year_text = written.split()
        month_name = _SHORTMONTHS[month_text[:3]]
        spoken_year = f" {year_in_words(int(year_text[0]))}" if year_text else ""
        return f"the {ordinal(int(day_text))} of {month_name}{spoken_year}", end
    if kind == "clock":
        hour, minute = (int(part) for part in written.split(":"))
        if minute == 0:
            return f"{cardinal(hour)} o'clock", end
        return f"{cardinal(hour)} {f'oh {_ONES[minute]}' if minute < 10 else cardinal(minute)}", end
    if kind == "code":
        return _spell_code(written), end
    if kind == "money":
        return _speak_money(written), end
    if kind == "ordinal":
        return _long(written[:-2], ordinal), end
    if kind == "decade":
        words = year_in_words(int(re.sub("[^0-9]", "", written)))
        return f"{words[:-1]}ies" if words.endswith("y") else f"{words}s", end
    if kind == "fraction":
        unit = _TRAILING_UNIT.match(text, end)
        shared = f" {_speak_unit(unit, single=False)}" if unit and _is_unit(unit, text) else ""
        return _speak_fraction(written) + shared, unit.end() if unit and shared else end
    return _speak_numbers(found, text)


def _speak_numbers(found: re.Match[str], text: str) -> tuple[str, int]:
    """A number, or numbers joined by a sign, with the unit they share."""
    numbers, signs, end = [found[0]], list[str](), found.end()
    while (joined := _BETWEEN.match(text, end)) and (following := _FOLLOWING.match(text, joined.end())):
        signs.append(_SIGNS.get(joined["sign"], "to"))
        numbers.append(following[0])
        end = following.end()
    unit = _TRAILING_UNIT.match(text, end)
    if unit and not _is_unit(unit, text):
        unit = None
    years = unit is None and re.fullmatch("1[1-9][0-9]{2}|20[0-9]{2}", numbers[0]) is not None
    words = [_speak_number(numbers[0], year=years)]
    for sign, number in zip(signs, numbers[1:], strict=True):
        words += [sign, _speak_number(number, year=years)]
    if unit:
        words.append(_speak_unit(unit, single=numbers == ["1"]))
        end = unit.end()
        if goes_on := _RANGE_GOES_ON.match(text, end):
            words.append("to")
            end = goes_on.end()
    elif times := _TIMES.match(text, end):
        words.append("times")
        end = times.end()
    return " ".join(words), end


def _is_unit(unit: re.Match[str], text: str) -> bool:
    """Whether what follows a number is a unit, not a word that looks like one."""
    if unit["unit"] == "in":
        return _INCHES.match(text, unit.end()) is not None
    return unit["per"] is not None or unit["unit"] not in _WORDS


def _speak_unit(unit: re.Match[str], *, single: bool) -> str:
    one, several = _UNITS[unit["unit"]]
    words = _POWERS[unit["power"] or ""] + (one if single else several)
    if unit["per"]:
        words += f" per {_POWERS[unit['by'] or '']}{_UNITS[unit['per']][0]}"
    return words


def _speak_number(number: str, *, year: bool = False) -> str:
    if year and re.fullmatch("[0-9]{4}", number):
        return year_in_words(int(number))
    minus, digits = ("minus ", number[1:]) if number[0] in "-−–" else ("", number)
    whole, _, decimals = re.sub("[,\u202f\u2009]", "", digits).partition(".")
    if decimals:
        spoken_whole = "nought" if whole.strip("0") == "" else _long(whole, cardinal)
        return f"{minus}{spoken_whole} point {_digits(decimals)}"
    if len(whole) > 1 and whole[0] == "0":
        return minus + _digits(whole)
    return minus + _long(whole, cardinal)


def _long(digits: str, speak: Callable[[int], str]) -> str:
    """Numbers of more than fifteen digits are read digit by digit."""
    return _digits(digits) if len(digits) > 15 else speak(int(digits))


def _digits(digits: str) -> str:
    return " ".join("nought" if digit == "0" else _ONES[int(digit)] for digit in digits)


def _speak_money(written: str) -> str:
    number, _, scale = written[1:].partition(" ")
    one, several = _MONEY[written[0]]
    whole, _, pence = number.partition(".")
    if scale or len(pence) != 2:
        return f"{_speak_number(number)} {scale} {one if number == '1' and not scale else several}"
    return f"{_speak_number(whole)} {one if whole == '1' else several}" + (
        f" {cardinal(int(pence))}" if int(pence) else ""
    )


def _speak_fraction(written: str) -> str:
    *whole, part = written.split()
    top, bottom = part.split("/")
    spoken = _FRACTIONS.get(part) or f"{_speak_number(top)} over {_speak_number(bottom)}"
    return f"{_speak_number(whole[0])} and {spoken}" if whole else spoken


def _spell_code(code: str) -> str:
    """A catalogue number or the like: runs of letters and of digits, one after another; capitals letter by letter."""
    spoken = []
    for piece in re.findall("[0-9]+|[^\\W\\d_]+", code):
        if piece[0] in "0123456789":
            spoken.append(_speak_number(piece, year=piece[0] != "0") if len(piece) < 5 else _digits(piece))
        else:
            spoken.append(" ".join(piece) if piece.isupper() and len(piece) < 5 else piece)
    return " ".join(spoken)


def _speak_words(text: str) -> str:
    """Abbreviations, signs and initials in what is left."""
    text = re.sub(r"\bet al\.", "and others", text)
    words = []
    for word in text.split():
        inner = word.lstrip(_OPENING)
        core = inner.rstrip(_CLOSING)
        opening, closing = word[: len(word) - len(inner)], inner[len(core) :]
        if core in _ABBREVIATIONS:
            core = _ABBREVIATIONS[core]
        elif core.endswith(".") and core.rstrip(".") in _ABBREVIATIONS:  # the stop is that of the sentence
            core = _ABBREVIATIONS[core.rstrip(".")] + "."
        elif core.rstrip(".") in _INITIALS:
            letters = core.rstrip(".")
            core = " ".join(letters) + core[len(letters) :]
        words.append(f"{opening}{core}{closing}")
    return " ".join(words)
