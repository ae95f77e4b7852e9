"""Set type: a template of ours and plain data to the bytes of a PDF.

In: the name of a template in `render/typst/`, plain data (as `json.dumps` takes it), pictures by name. Out: a tagged
PDF that claims PDF/UA-1 (ISO 14289-1), with title, language and text alternatives, fonts embedded; the same bytes each
time, no clock and no path in it. Refused: an empty title, data that is not plain, a template that the compiler cannot
set (`BadSheet`, always our fault: no text of a record can bring it about).

A new kind of sheet is a file `render/typst/<name>.typ` that begins

    #import "common.typ": *
    #show: sheet.with(paper: "a4")

and then puts `data.…` in order by the parts in `common.typ`. The data arrives as a JSON file that only the compiler
sees, and every text in it is shown as text: it is never read as Typst code. Never pass a text of a record to `eval`,
and make pictures by `picture(name, alt: …)`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from builder.render.glyph import FONTS, printable
from builder.render.unbroken import keep_together

LANGUAGE = re.compile(r"([A-Za-z]{2,3})(?:-[A-Za-z]{4})?(?:-([A-Za-z]{2}))?(?:-.*)?")
"""A language tag as far as the compiler takes it (BCP 47): language and region."""


class BadSheet(Exception):
    """A template that cannot be set: our fault, never a record's."""


def typeset(
    template: str,
    data: Mapping[str, Any],
    *,
    title: str,
    language: str,
    draft: bool = False,
    staff: bool = False,
    notice: str = "",
    pictures: Mapping[str, bytes] | None = None,
) -> bytes:
    """The PDF of `data` in the template of that name.

    `draft` and `staff` mark every page; `notice` stands on every page; `pictures` are named with their ending, as
    `head.svg`. Raises ValueError for an empty title, TypeError for data that is not plain, `BadSheet`.
    """
    if not title.strip():
        raise ValueError("a sheet needs a title")
    found = LANGUAGE.fullmatch(language)
    about = {
        "title": f"{title} (draft)" if draft else title,
        "lang": found[1].lower() if found else "und",
        "region": found[2].upper() if found and found[2] else "",
        "draft": draft,
        "staff": staff,
        "notice": notice,
    }
    texts = json.dumps(_fit({"sheet": about, "data": data}), ensure_ascii=False, allow_nan=False)
    project: dict[str, bytes] = {
        "main.typ": _template(template),
        "common.typ": _template("common"),
        "data.json": texts.encode(),
        **{f"pictures/{name}": picture for name, picture in (pictures or {}).items()},
    }
    return _compile(template, project)


def settable(pictures: Mapping[str, bytes]) -> dict[str, bytes]:
    """Those of the pictures that the compiler can read; a picture can be broken behind a sound beginning."""
    return {name: data for name, data in pictures.items() if _is_settable(name.rsplit(".", 1)[-1], data)}


@lru_cache(maxsize=256)
def _is_settable(ending: str, data: bytes) -> bool:
    source = f'#set document(title: "x")\n#image("x.{ending}", alt: "x", width: 10mm)'
    try:
        _compile("picture", {"main.typ": source.encode(), f"x.{ending}": data})
    except BadSheet:
        return False
    return True


def _compile(template: str, project: Any) -> bytes:
    import typst  # heavy: only what prints pays for it

    try:
        made = typst.compile(
            project,  # a mapping of files, which the compiler takes though its stubs do not say so
            font_paths=_fonts(),
            ignore_system_fonts=True,
            pdf_standards="ua-1",
        )
    except typst.TypstError as fault:
        raise BadSheet(f"{template}.typ: {fault}") from fault
    assert isinstance(made, bytes)
    return made


@cache
def _fonts() -> Any:
    """The packaged fonts and the compiler's own; never those of the machine."""
    import typst

    folder = files("builder.render").joinpath(FONTS)
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder)])


@cache
def _template(name: str) -> bytes:
    return files("builder.render").joinpath("typst", f"{name}.typ").read_bytes()


def _fit(value: Any) -> Any:
    """Plain data with every text, keys apart, made fit for print, what belongs together on one row."""
    if isinstance(value, str):
        return printable(keep_together(value))
    if isinstance(value, Mapping):
        return {key: _fit(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_fit(part) for part in value]
    return value
