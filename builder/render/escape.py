"""Text to Markdown and to HTML, so that no text of a record can become markup: here, and only here.

Every character that could open a construct of Markdown, of its attribute lists, of footnotes or of HTML is written as a
character reference, which Markdown leaves alone and a browser shows as the character. That is safer than backslashes,
which not every extension honours.
"""

from __future__ import annotations

import re

from builder.render.unbroken import keep_together

_ALWAYS = re.compile(r"[\\`*_{}\[\]<>&|~^$=!@\u2028\u2029]")
_START = re.compile(r"^(?:[-+#:>]|\d+(?=[.)]))")
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff\ud800-\udfff\u202a-\u202e\u2066-\u2069]")
_COLON = re.compile(r":(?=[\w+-]+:|/)")


def to_markdown(text: str) -> str:
    """The text as one line of Markdown that shows exactly it, what belongs together on one row."""
    text = _UNSEEN.sub("\ufffd", " ".join(text.split("\n")))
    text = keep_together(text)
    text = _ALWAYS.sub(_reference, text)
    text = _COLON.sub("&#58;", text)
    return _START.sub(lambda found: "".join(f"&#{ord(c)};" for c in found.group()), text)


def to_attribute(text: str) -> str:
    """The text for a double-quoted value in an attribute list behind a piece of Markdown."""
    return to_markdown(text).replace('"', "&#34;")


def to_html(text: str) -> str:
    """The text for an HTML element or a quoted attribute."""
    text = _UNSEEN.sub("\ufffd", text)
    return re.sub(r"[<>&\"'`=]", _reference, text)


def to_plain(text: str) -> str:
    """The text for a file that a library writes and escapes itself, without what cannot stand in XML."""
    return _UNSEEN.sub("\ufffd", text)


def to_yaml(text: str) -> str:
    """The text as a double-quoted YAML scalar, for front matter."""
    import json

    return json.dumps(_UNSEEN.sub("\ufffd", text), ensure_ascii=False)


def _reference(found: re.Match[str]) -> str:
    return f"&#{ord(found.group())};"
