"""Numerals in English prose, in digits or in words, each with its value, its last digit's place and where it stands.

In: a text. Out: `Numeral`s in order. Read are digits with any usual grouping, decimals, powers of ten, fractions,
ordinals, decades, centuries, years before Christ, dates and clock times; cardinal and ordinal words, fractions, dozens,
"hundreds", years as spoken ("eighteen seventy-four"). Not read: Roman numerals, codes and locators. No text raises.
"""

import re
from dataclasses import replace
from decimal import Decimal
from typing import Final

from builder.weigh.numeraltoken import MONTHS, Numeral, Token, find_tokens, has_numeral
from builder.weigh.unitword import read_unit

_CENTURY: Final = re.compile(
    r"(?:\s?(?:[-–/]|to the|to|or|and early|and late|and)\s?\w+)?[\s-]centur(?:y|ies)\b(\s(?:bce?|b\.c\.)(?!\w))?"
)
_SHORT: Final = {"sept": "september", **{month[:3]: month for month in MONTHS}}
_MONTH: Final = rf"(?:({'|'.join(MONTHS)})|({'|'.join(_SHORT)})\.?)(?!\w)"
_OF_MONTH: Final = re.compile(rf"\s?(?:of\s)?{_MONTH}")
_MONTH_BEFORE: Final = re.compile(rf"\b{_MONTH}\s$")
_OUT_OF: Final = re.compile(r"\s(?:out of(?: every)?|in(?: every)?)\s")
_HALF_A: Final = re.compile(r"[\s-](?:an?\s)?")
_GAPS: Final = frozenset({" ", "-", "\u00a0", "\n", "\u2010", "\u2011"})
_SEVERAL: Final = re.compile(r"\b(?:several|a few|many)\s$")
_STOPS: Final = frozenset({"", ".", ",", ";", ":", ")", "!", "?"})
_SIDES: Final = frozenset((
    "other", "hind", "front", "upper", "lower", "first", "second", "left", "right", "latter", "former", "better"
))  # fmt: skip


def _plain(value: Decimal | int, start: int, end: int, *, kind: str = "plain", step: Decimal | int = 1) -> Numeral:
    return Numeral(Decimal(value), Decimal(value), Decimal(step), kind, start, end)


def _share(over: Decimal | int, under: int, start: int, end: int) -> Numeral:
    value = Decimal(over) / under
    return replace(_plain(value, start, end, kind="share", step=Decimal("0.01")), parts=(Decimal(over), Decimal(under)))


def _article(lower: str, start: int) -> int:
    """Place of an article "a" or "an" that stands before `start`, else `start`."""
    for article in ("a ", "an "):
        at = start - len(article)
        if at >= 0 and lower.startswith(article, at) and (at == 0 or not lower[at - 1].isalnum()):
            return at
    return start


def _share_of(share: Numeral, tokens: list[Token], index: int, lower: str) -> tuple[Numeral, int]:
    """Three quarters "of a million" is a number, not a share."""
    if index < len(tokens) and tokens[index].code == "scale" and lower[share.end : tokens[index].start] == " of a ":
        size = Decimal(tokens[index].value)
        low = share.low * size
        return replace(
            share, low=low, high=low, step=share.step * size, end=tokens[index].end, kind="plain", parts=None
        ), index + 1
    return share, index


def _join_scales(numeral: Numeral, tokens: list[Token], index: int, lower: str) -> tuple[Numeral, int]:
    """Add what follows a numeral: "and a half", "½", "million", "thirds"."""
    if index < len(tokens):
        after = tokens[index]
        gap = lower[numeral.end : after.start]
        if after.code == "half" and gap in {" and a ", "-and-a-"}:
            half = numeral.scale / 2
            low = numeral.low + half
            numeral, index = replace(numeral, low=low, high=low, step=half, end=after.end, kind="plain"), index + 1
        elif after.code in {"vulgar", "digits"} and after.numeral is not None and gap in {"", " ", "\u00a0", " and "}:
            part = after.numeral
            if part.kind == "share" and not numeral.low % 1:
                low = numeral.low + part.low
                numeral, index = (
                    replace(numeral, low=low, high=low, step=part.step, end=part.end, kind="plain"),
                    index + 1,
                )
        elif after.code == "den" and gap in _GAPS and 0 < numeral.low < 1000 and not numeral.low % 1:
            return _share_of(_share(numeral.low, after.value, numeral.start, after.end), tokens, index + 1, lower)
        elif after.code in {"ord", "quarter", "half"} and gap in _GAPS and numeral.low == 1 and after.value > 1:
            return _share(1, after.value, numeral.start, after.end), index + 1
    while index < len(tokens) and tokens[index].code == "scale" and lower[numeral.end : tokens[index].start] in _GAPS:
        factor = Decimal(tokens[index].value)
        low = numeral.low * factor
        numeral = replace(
            numeral,
            low=low,
            high=low,
            step=numeral.step * factor,
            end=tokens[index].end,
            kind="plain",
            scale=numeral.scale * factor,
        )
        index += 1
    return numeral, index


def _read_cardinal(tokens: list[Token], index: int, lower: str) -> tuple[Numeral, int]:
    """Cardinal words from `index`: "two hundred and five thousand", "twenty-one", "eighteen seventy-four"."""
    first = tokens[index]
    start = _article(lower, first.start) if first.code == "scale" else first.start
    total, current, previous, end = 0, 0, "", first.start
    scale = 1
    while index < len(tokens):
        token = tokens[index]
        gap = lower[end : token.start] if previous else " "
        if gap == " and " and previous == "scale" and token.code in {"one", "teen", "ten"}:
            # "between a hundred and two hundred" are two numbers
            follower = tokens[index + 1] if index + 1 < len(tokens) else None
            beyond = follower is not None and follower.code == "scale" and lower[token.end : follower.start] in _GAPS
            if (beyond and follower is not None and follower.value <= scale) or lower.startswith(
                "between ", max(0, start - 8)
            ):
                break
        elif gap not in _GAPS and not (gap == ", " and previous == "scale" and scale >= 1000):
            break
        after_ten = token.code == "one" and previous == "ten" and token.value
        if after_ten or (token.code in {"one", "teen", "ten"} and previous in {"", "scale"}):
            current += token.value
        elif token.code == "scale" and (not previous or current or total):
            scale = token.value
            if scale < 1000:
                current = (current or 1) * scale
            elif current or not total:
                total, current = total + (current or 1) * scale, 0
            else:
                total *= scale
        elif previous in {"teen", "ten"} and token.code in {"teen", "ten"} and total == 0 and 10 <= current <= 20:
            low = current * 100 + token.value
            end, index = token.end, index + 1
            digit = tokens[index] if token.code == "ten" and index < len(tokens) else None
            if digit is not None and digit.code == "one" and digit.value and lower[end : digit.start] in _GAPS:
                low, end, index = low + digit.value, digit.end, index + 1
            return _plain(low, start, end, kind="year"), index
        else:
            break
        previous, end, index = token.code, token.end, index + 1
    value = total + current
    big = next((size for size in (10**12, 10**9, 10**6) if value and value % size == 0), 1)
    lone = value == 1 and lower[start:end] == "one"
    numeral = _plain(value, start, end, kind="weak" if lone else "plain", step=big)
    return (replace(numeral, scale=Decimal(big)) if big > 1 else numeral), index


def _read_ordinal(numeral: Numeral, lower: str) -> Numeral:
    century = _CENTURY.match(lower, numeral.end)
    if century is None:
        return numeral
    first = (numeral.low - 1) * 100 + 1
    low, high = (-(first + 99), -first) if century[1] else (first, first + 99)
    return replace(numeral, low=low, high=high, kind="year", band=True)


def _read_fraction(token: Token, tokens: list[Token], index: int, lower: str) -> tuple[Numeral | None, int]:
    """What "half", "quarter" or an ordinal word says, with the article before it and a dozen or million after it."""
    start = _article(lower, token.start)
    if token.code == "half":
        if index < len(tokens) and tokens[index].code == "scale":
            gap = lower[token.end : tokens[index].start]
            if gap in {" a ", "-", " "}:
                return _plain(Decimal(tokens[index].value) / 2, start, tokens[index].end), index + 1
        numeral = replace(_share(1, 2, start, token.end), parts=None)
        words = lower[max(0, start - 12) : start].split()
        compound = lower[token.end : token.end + 1] in {"-", "\u2011"}
        return (replace(numeral, kind="weak") if compound or (words and words[-1] in _SIDES) else numeral), index
    if token.code == "quarter":
        return _share_of(_share(1, 4, start, token.end), tokens, index, lower) if start < token.start else (None, index)
    whole = lower.startswith((" of ", " more", " less"), token.end) or lower[token.end : token.end + 1] in _STOPS
    if start < token.start and token.value > 2 and whole:
        return _share(1, token.value, start, token.end), index
    return _read_ordinal(_plain(token.value, token.start, token.end, kind="ordinal"), lower), index


def _read_next(tokens: list[Token], index: int, lower: str) -> tuple[Numeral | None, int]:
    token = tokens[index]
    if token.numeral is not None:
        numeral = token.numeral
        if numeral.kind == "ordinal":
            return _read_ordinal(numeral, lower), index + 1
        if token.code == "vulgar" or numeral.band or numeral.unit or numeral.low != numeral.high:
            return numeral, index + 1
        return _join_scales(numeral, tokens, index + 1, lower)
    several = _SEVERAL.search(lower, max(0, token.start - 12), token.start) if token.code == "scale" else None
    if several is not None:
        low = Decimal(token.value)
        return Numeral(2 * low, 10 * low, low, "plain", several.start(), token.end, band=True), index + 1
    if token.code in {"one", "teen", "ten", "scale"}:
        numeral, after = _read_cardinal(tokens, index, lower)
        if after < len(tokens) and tokens[after].code == "ord" and numeral.low >= 20 and numeral.kind == "plain":
            tail = tokens[after]
            if tail.value < 10 and lower[numeral.end : tail.start] in _GAPS and not numeral.low % 10:
                low = numeral.low + tail.value
                return _read_ordinal(_plain(low, numeral.start, tail.end, kind="ordinal"), lower), after + 1
        return _join_scales(numeral, tokens, after, lower)
    if token.code == "many":
        low = Decimal(token.value)
        top = low * (1000 if token.value >= 1000 else 100)
        return Numeral(low, top, low, "plain", token.start, token.end, band=True), index + 1
    if token.code in {"times", "weak"}:
        kind = "plain" if token.code == "times" else "weak"
        return _plain(token.value, token.start, token.end, kind=kind), index + 1
    if token.code in {"half", "quarter", "ord"}:
        return _read_fraction(token, tokens, index + 1, lower)
    return None, index + 1


def _join_out_of(numerals: list[Numeral], lower: str) -> list[Numeral]:
    """Make one share of "nine out of ten" and "1 in 5"; "18 out of 167" stays two counts."""
    joined: list[Numeral] = []
    for numeral in numerals:
        last = joined[-1] if joined else None
        if (
            last is not None
            and last.kind in {"plain", "weak"}
            and numeral.kind == "plain"
            and not (last.unit or numeral.unit or last.band or numeral.band)
            and 0 < last.low < numeral.low
            and (numeral.low <= 12 or numeral.low in {20, 50, 100, 1000})
            and not last.low % 1
            and not numeral.low % 1
            and _OUT_OF.fullmatch(lower, last.end, numeral.start)
            and lower[last.start : last.end] not in {"twice", "thrice"}
            and not (lower.startswith(" in ", last.end) and read_unit(lower, numeral.end)[0])
        ):
            joined[-1] = _share(last.low, int(numeral.low), last.start, numeral.end)
        else:
            joined.append(numeral)
    return joined


def _name_month(found: re.Match[str]) -> str:
    return found[1] or _SHORT[found[2]]


def find_numerals(text: str) -> tuple[Numeral, ...]:
    """Every numeral of a text, in order; spans never overlap. Linear in the length of the text."""
    lower = text.lower()
    if len(lower) != len(text):  # a few letters grow when lowered; places must hold
        lower = "".join(small if len(small := letter.lower()) == 1 else letter for letter in text)
    if not has_numeral(text):
        return ()
    tokens = find_tokens(text, lower)
    numerals: list[Numeral] = []
    index = 0
    while index < len(tokens):
        numeral, index = _read_next(tokens, index, lower)
        if numeral is None:
            continue
        if numeral.kind in {"plain", "ordinal"} and not numeral.unit and 0 < numeral.low <= 31 and not numeral.low % 1:
            month = _OF_MONTH.match(lower, numeral.end)
            before = _MONTH_BEFORE.search(lower, max(0, numeral.start - 12), numeral.start)
            # "they march 20 km", "she may": a month has its capital
            month = month if month and text[month.start(month.lastindex or 0)].isupper() else None
            before = before if before and text[before.start(before.lastindex or 0)].isupper() else None
            if month:
                numeral = replace(numeral, kind="plain", unit=_name_month(month), end=month.end())
            elif before:
                numeral = replace(numeral, kind="plain", unit=_name_month(before))
        numerals.append(numeral)
    return tuple(_join_out_of(numerals, lower))
