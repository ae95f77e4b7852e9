"""The texts of a record that become public, and what in them should not.

In: a case. Out: every public text with its place, and the withheld values found in them, worked out once for the three
checks of this folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple
from urllib.parse import unquote
from xml.etree import ElementTree

from builder.check.case import Case
from builder.model.piece import Sentence
from builder.model.record import Claim, Locality, Object, Party, Question, Record
from builder.model.value import Model
from builder.problem import Path, Problem, Spot
from builder.resolve.sieve import Hit, Sieve
from builder.resolve.withheld import Withheld, withheld_values

KINDS = {
    "store-location-shown": ("store",),
    "locality-too-precise": ("place", "coordinates"),
    "private-name-shown": ("name",),
}
"""Which withheld values each check is about."""


UNSEEN: dict[type[Model], tuple[str, ...]] = {
    Record: ("name", "waive"),  # the names of animals are everybody's, whomever they honour
    Object: ("store", "container", "fluid", "hazards"),
    Locality: ("text",),
    Claim: ("note",),
    Question: ("answer",),  # looked at sentence by sentence, as pieces are
}
"""Fields that no page, label, talk or film shows."""


class PublicText(NamedTuple):
    """A text that becomes public: in `file`, at a path of its tree, or as the last key of it, or in a sentence."""

    text: str
    file: str = "record.yml"
    path: Path = ()
    at_key: bool = False
    sentence: Sentence | None = None
    spot: Spot | None = None


def find_leaks(case: Case, check: str) -> Iterator[tuple[Hit, PublicText]]:
    """The withheld values of the check's kinds that stand in public texts of the record."""
    leaks = case.subject.remembered.get("leaks")
    if leaks is None:
        leaks = case.subject.remembered["leaks"] = tuple(_find(case))
    yield from ((hit, text) for hit, text in leaks if hit.withheld.kind in KINDS[check])  # type: ignore[attr-defined]


def problem_of(name: str, hit: Hit, text: PublicText, message: str, mend: str) -> Problem:
    """The problem of one leak, at the words that give it away."""
    spot = text.sentence.spot_of(hit.start, hit.end) if text.sentence else text.spot
    return Problem(name, message, mend, path=text.path, spot=spot, file=text.file, at_key=text.at_key)


def withheld_of(case: Case) -> tuple[Withheld, ...]:
    """What the case's record keeps back."""
    library = case.library
    return withheld_values(
        case.record, case.subject.id, public_surnames=library.public_surnames, step=case.rules.coordinate_step
    )


def _find(case: Case) -> Iterator[tuple[Hit, PublicText]]:
    values = withheld_of(case)
    if not values:
        return
    sieve = Sieve(values, own=True)
    texts = tuple(public_texts(case))
    # most records give nothing away: one look at all their words together settles that
    if not sieve.scan("\n\n".join(text.text for text in texts)):
        return
    for text in texts:
        yield from ((hit, text) for hit in sieve.scan(text.text))


def public_texts(case: Case) -> Iterator[PublicText]:
    """Every text of the record that its pages, labels, talks and films may show."""
    found: list[PublicText] = []
    _gather(case.record, (), found)
    yield from found
    for file, piece in case.texts:
        if file != "record.yml":
            for key in ("title", "theme", "description", "audience"):
                value = getattr(piece.front, key)
                if value:
                    yield PublicText(value, file, (key,))
            for index, place in enumerate(piece.front.hangs_at):
                yield PublicText(place, file, ("hangs_at", index))
        for block in piece.blocks:
            for sentence in block.sentences:
                yield PublicText(sentence.text, file, sentence=sentence, spot=sentence.spot)
                for target in dict.fromkeys(span.target for span in sentence.spans if span.target):
                    yield PublicText(unquote(target), file, spot=sentence.spot)
    for key, figure in case.record.figures.items():
        data = case.subject.loaded.files.get(figure.file, b"")
        if figure.file.lower().endswith(".svg") and data:
            yield from (PublicText(words, "record.yml", ("figures", key, "file")) for words in _words_of_drawing(data))


def _gather(value: object, path: Path, found: list[PublicText]) -> None:
    """Every text in a model, its ids too, with its path in the file; what `UNSEEN` names is passed over.

    A field that a later version adds is looked at unless somebody says that the public never sees it.
    """
    if isinstance(value, str):
        found.append(PublicText(value, "record.yml", path))
    elif isinstance(value, Model):
        if isinstance(value, Party) and not value.show:
            return
        fields = value.__dict__
        for name, key in _fields(type(value)):
            inner = fields[name]
            if inner:
                _gather(inner, (*path, key), found)
    elif isinstance(value, dict):
        for key, inner in value.items():
            found.append(PublicText(key, "record.yml", (*path, key), at_key=True))
            _gather(inner, (*path, key), found)
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            _gather(inner, (*path, index), found)


@cache
def _fields(model: type[Model]) -> tuple[tuple[str, str], ...]:
    """The fields of a model that the public may see: name, and key in the file."""
    unseen = UNSEEN.get(model, ())
    return tuple((name, info.alias or name) for name, info in model.model_fields.items() if name not in unseen)


def _words_of_drawing(data: bytes) -> Iterator[str]:
    """The words inside an SVG: its texts, titles, descriptions and the values of its attributes."""
    try:
        root = ElementTree.fromstring(data.decode("utf-8", "replace"))
    except ElementTree.ParseError:
        return
    words = [part for element in root.iter() for part in (element.text, element.tail) if part and part.strip()]
    yield " ".join(" ".join(words).split())
    for element in root.iter():
        for name, value in element.attrib.items():
            if name.rsplit("}", 1)[-1] in ("id", "class", "label", "aria-label", "title", "docname", "author"):
                yield value
