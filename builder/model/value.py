"""The kinds of value a record is made of, read strictly from text.

In: the text of one YAML scalar (or a plain number, when a model is built from Python). Out: text, whole numbers,
decimals, yes or no, ids. Refused, with the reason in plain words: `1_000`, `010`, `nan`, blank text, control
characters, ids that could not serve as a file name or an anchor.
"""

from __future__ import annotations

import re
from datetime import datetime
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

ID = re.compile(r"[a-z0-9]+(?:[-_][a-z0-9]+)*")
WHOLE = re.compile(r"-?(?:0|[1-9][0-9]*)")
DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
MOMENT = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?: ([0-9]{2}:[0-9]{2}))?")
UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufdd0-\ufdef\ufffe\uffff]")
"""Control and direction-changing characters: they show as nothing and can turn a sentence round."""


class Model(BaseModel):
    """Frozen, closed to unknown keys; compared by value."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError("wants text here")
    text = value.strip()
    if not text:
        raise ValueError("wants words here, not blanks")
    hidden = UNSEEN.search(text)
    if hidden:
        raise ValueError(f"holds the unseen character U+{ord(hidden.group()):04X}; delete it")
    return text


def _line(value: Any) -> str:
    return " ".join(_text(value).split())


def _id(value: Any) -> str:
    text = _text(value)
    if not ID.fullmatch(text) or len(text) > 80:
        raise ValueError("wants an id: small letters a to z, digits and hyphens, 80 at most")
    return text


def _whole(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    text = _text(value)
    if not WHOLE.fullmatch(text) or len(text) > 15:
        raise ValueError("wants a whole number such as 34, in digits without separators")
    return int(text)


def _decimal(value: Any) -> Decimal:
    if isinstance(value, Decimal | int) and not isinstance(value, bool):
        return Decimal(value)
    text = _text(value).replace("\u2212", "-")
    if not DECIMAL.fullmatch(text) or len(text) > 30:
        raise ValueError("wants a number such as 0.75, in digits with a full stop before the decimals")
    return Decimal(text)


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    text = _text(value).lower()
    if text in ("yes", "true"):
        return True
    if text in ("no", "false"):
        return False
    raise ValueError("wants `yes` or `no`")


def read_moment(text: str) -> datetime | None:
    """The day, at midnight, or the day and hour of `2026-12-01 11:00`; None for anything else."""
    found = MOMENT.fullmatch(text)
    try:
        return datetime.fromisoformat(f"{found[1]} {found[2] or '00:00'}") if found else None
    except ValueError:
        return None


def _moment(value: Any) -> str:
    text = _line(value)
    if read_moment(text) is None:
        why = "is on no calendar or clock" if MOMENT.fullmatch(text) else "is no day"
        raise ValueError(f"`{text}` {why}; write a day such as 2026-12-01, or with its hour, 2026-12-01 11:00")
    return text


def _several(value: Any) -> Any:
    """One text stands for a list of one."""
    return [value] if isinstance(value, str) else value


Text = Annotated[str, BeforeValidator(_text), WithJsonSchema({"type": ["string", "number"], "minLength": 1})]
Line = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": ["string", "number"], "minLength": 1})]
Id = Annotated[str, BeforeValidator(_id), WithJsonSchema({"type": "string", "pattern": f"^{ID.pattern}$"})]
Whole = Annotated[int, BeforeValidator(_whole), WithJsonSchema({"type": "integer"})]
Count = Annotated[Whole, Field(ge=0)]
Number = Annotated[Decimal, BeforeValidator(_decimal), WithJsonSchema({"type": "number"})]
Flag = Annotated[bool, BeforeValidator(_flag), WithJsonSchema({"enum": [True, False, "yes", "no", "true", "false"]})]
"""Yes or no. In YAML 1.2 (core schema, 10.3.2), as editors read it, `yes` and `no` are text and `true` is not."""
DateText = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": ["string", "number"], "minLength": 4})]
"""A date as written, 2026, 2026-11 or 2026-11-25: a check judges it, so that a bad one hides nothing else."""
Moment = Annotated[str, BeforeValidator(_moment), WithJsonSchema({"type": "string", "pattern": f"^{MOMENT.pattern}$"})]
"""A day, or a day and the hour on it: `2026-12-01 11:00`."""
Moments = Annotated[tuple[Moment, ...], BeforeValidator(_several, json_schema_input_type=Moment | list[Moment])]
Texts = Annotated[tuple[Line, ...], BeforeValidator(_several, json_schema_input_type=Line | list[Line])]
Ids = Annotated[tuple[Id, ...], BeforeValidator(_several, json_schema_input_type=Id | list[Id])]
