"""figure-without-text-alternative: see figure_without_text_alternative.md"""

import re
from collections.abc import Iterator
from pathlib import PurePosixPath

from builder.check.case import Case
from builder.model.record import Figure
from builder.problem import ERROR, WARNING, Problem

NAME, SEVERITY, WAIVABLE = "figure-without-text-alternative", ERROR, True
LONGEST = 300
"""Characters after which an alternative text tires the ear (our choice)."""
NEEDLESS = re.compile(r"(?:an? |the )?(image|picture|graphic|photo|icon) (?:of|showing)\b", re.IGNORECASE)
TITLE = re.compile(rb"<(?:svg:)?title[^>]*>\s*[^<\s]")
DESC = re.compile(rb"<(?:svg:)?desc[^>]*>\s*[^<\s]")
WORD = re.compile(r"[^\W\d_]{3,}")
EMPTY = frozenset(
    (
        "the",
        "and",
        "that",
        "are",
        "was",
        "its",
        "his",
        "her",
        "their",
        "who",
        "with",
        "from",
        "into",
        "for",
        "has",
        "have",
    )
)
DENIAL = re.compile(
    r"\b(?:no|not|never|nothing|tale|tales|legend|belief|myth|story|said|supposed|imagined|nor|without|wrongly)\b|n’t|n't",
    re.IGNORECASE,
)


def check(case: Case) -> Iterator[Problem]:
    """Figures that somebody who cannot see them would miss, or be misled by."""
    beliefs: dict[str, frozenset[str]] | None = None
    for key, figure in case.record.figures.items():
        path = ("figures", key)
        if figure.alt is None:
            mend = "add `alt: …`: in a sentence or two, what a visitor sees there and why it is shown"
            yield Problem(NAME, f"the figure `{key}` has no text alternative", mend, path=path, at_key=True)
        else:
            beliefs = _beliefs(case) if beliefs is None else beliefs
            yield from _judge_alt(key, figure, figure.alt, beliefs)
        data = case.subject.loaded.files.get(figure.file)
        if data is not None and figure.file.lower().endswith(".svg"):
            missing = [name for name, has in (("title", TITLE), ("desc", DESC)) if not has.search(data)]
            if missing:
                wanted = " and no ".join(f"`<{name}>`" for name in missing)
                mend = "add them as the first things inside `<svg>`: a short name, and a sentence on what it shows"
                message = f"the drawing `{figure.file}` has no {wanted}"
                yield Problem(NAME, message, mend, path=(*path, "file"), severity=WARNING)


def _judge_alt(key: str, figure: Figure, alt: str, beliefs: dict[str, frozenset[str]]) -> Iterator[Problem]:
    path = ("figures", key, "alt")
    plain = _plain(alt)
    if plain in (_plain(figure.file), _plain(PurePosixPath(figure.file).stem), _plain(key)):
        mend = "say in a sentence or two what a visitor sees there"
        yield Problem(NAME, f"the text alternative of `{key}` is only its name, `{alt}`", mend, path=path)
        return
    told = None if DENIAL.search(alt) else _stems(alt)
    for claim, words in beliefs.items():
        if told is not None and words and len(words & told) >= 0.8 * len(words):
            message = f"the text alternative of `{key}` tells the belief that the claim `{claim}` answers"
            mend = "say what is drawn, and that it is a belief; a listener hears nothing else"
            yield Problem(NAME, message, mend, path=path)
    needless = NEEDLESS.match(alt)
    if needless:
        message = f"the text alternative of `{key}` starts with “{needless.group()}”"
        mend = "start with what is seen; a screen reader has already said that it is an image"
        yield Problem(NAME, message, mend, path=path, severity=WARNING)
    if len(alt) > LONGEST:
        message = f"the text alternative of `{key}` has {len(alt)} characters; {LONGEST} are the most"
        mend = "say what matters in a sentence or two and move the rest into the caption"
        yield Problem(NAME, message, mend, path=path, severity=WARNING)


def _beliefs(case: Case) -> dict[str, frozenset[str]]:
    return {
        key: _stems(claim.belief)
        for key, claim in case.record.claims.items()
        if claim.belief and claim.stands != "holds"
    }


def _stems(text: str) -> frozenset[str]:
    """The telling words of a text without their usual endings."""
    words = (word.lower() for word in WORD.findall(text))
    return frozenset(re.sub(r"(?:ing|ed|es|s|e)$", "", word) for word in words if word not in EMPTY)


def _plain(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text).strip().lower()
