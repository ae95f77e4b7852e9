"""Turn the LaTeX of bibliographies into plain text.

In: the value of a BibTeX field.  Out: Unicode text, accents composed, dashes and quotation marks as themselves, braces
gone; and the commands that are not known, whose arguments are kept.  Refuses nothing.
"""

import re
import unicodedata

_ACCENTS = {
    "`": "\u0300",
    "'": "\u0301",
    "^": "\u0302",
    "~": "\u0303",
    "=": "\u0304",
    "u": "\u0306",
    ".": "\u0307",
    '"': "\u0308",
    "r": "\u030a",
    "H": "\u030b",
    "v": "\u030c",
    "d": "\u0323",
    "c": "\u0327",
    "k": "\u0328",
    "b": "\u0331",
}
_SIGNS = {
    "ss": "ß",
    "ae": "æ",
    "AE": "Æ",
    "oe": "œ",
    "OE": "Œ",
    "o": "ø",
    "O": "Ø",
    "l": "ł",
    "L": "Ł",
    "aa": "å",
    "AA": "Å",
    "i": "ı",
    "j": "ȷ",
    "dh": "ð",
    "DH": "Ð",
    "th": "þ",
    "TH": "Þ",
    "dj": "đ",
    "DJ": "Đ",
    "S": "§",
    "P": "¶",
    "copyright": "©",
    "textendash": "–",
    "textemdash": "—",
    "textquoteright": "’",
    "textquoteleft": "‘",
    "textquotedblleft": "“",
    "textquotedblright": "”",
    "textasciitilde": "~",
    "textbackslash": "\\",
    "degree": "°",
    "textdegree": "°",
    "textmu": "µ",
    "mu": "μ",
    "times": "×",
    "texttimes": "×",
    "pm": "±",
    "ldots": "…",
    "dots": "…",
    "textellipsis": "…",
    "guillemotleft": "«",
    "guillemotright": "»",
    "male": "♂",
    "female": "♀",
    "alpha": "α",
    "beta": "β",
    "gamma": "γ",
    "delta": "δ",
    "LaTeX": "LaTeX",
    "TeX": "TeX",
    "space": " ",
    "slash": "/",
}
_STYLES = frozenset(
    "emph textit textbf textsc textsl textrm textsf texttt textup textnormal textsuperscript textsubscript mbox hbox "
    "url enquote underline it bf em sc sl rm tt sf noopsort protect bibinfo natexlab path ensuremath mathrm "
    "mathit ".split()
)
_ACCENTED = re.compile(
    r"\\(?:([`'^\"~=.])\s*|([cvHukrdb])(?:\s+|(?=[{\\])))(?:\{\s*(\\[ij]|[^\W\d_])?\s*\}|(\\[ij])(?![A-Za-z])\s?|"
    r"([^\W\d_]))"
)
_COMMAND = re.compile(r"\\([A-Za-z]+)(?:\s*\{\}|\s+)?")
_ESCAPED = re.compile(r"\\([^A-Za-z])")
_SPACES = {",": " ", ";": " ", ":": " ", " ": " ", "\\": " ", "\n": " ", "-": "", "/": "", "!": "", "(": "", ")": ""}
_QUOTES = (("---", "—"), ("--", "–"), ("``", "“"), ("''", "”"), ("~", " "))
_HELD = {"{": "\ue000", "}": "\ue001", "$": "\ue002", "~": "\ue003", "\\": "\ue004"}


def read_latex(text: str) -> tuple[str, tuple[str, ...]]:
    """The plain text, and the names of commands that were taken out without being understood."""
    unknown: list[str] = []
    signs = _HELD | _SPACES

    def accent(match: re.Match[str]) -> str:
        mark, letter_mark, braced, dotless, bare = match.groups()
        letter = {"\\i": "i", "\\j": "j"}.get(braced or dotless or bare or "", braced or bare or "")
        return letter and unicodedata.normalize("NFC", letter + _ACCENTS[mark or letter_mark])

    def command(match: re.Match[str]) -> str:
        name = match.group(1)
        sign = _SIGNS.get(name)
        if sign is None and name not in _STYLES and name not in unknown:
            unknown.append(name)
        return _HELD.get(sign, sign) if sign else ""

    if "\\" in text:
        text = _ACCENTED.sub(accent, text)
        text = _ESCAPED.sub(lambda match: signs.get(match.group(1), match.group(1)), text)
        text = _COMMAND.sub(command, text)
    for written, plain in _QUOTES:
        text = text.replace(written, plain)
    text = text.replace("{", "").replace("}", "").replace("$", "")
    for plain, held in _HELD.items():
        text = text.replace(held, plain)
    return " ".join(text.split()), tuple(unknown)
