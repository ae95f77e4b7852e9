"""The texts of a record that become public, and what in them should not.

In: a case. Out: every public text with its place, and the withheld values found in them, worked out once for the three
checks of this folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from builder.check.case import Case
from builder.model.piece import Sentence
from builder.model.record import Record
from builder.problem import Path, Problem, Spot
from builder.resolve.sieve import Hit, Sieve
from builder.resolve.withheld import Withheld, withheld_values

KINDS = {
    "store-location-shown": ("store",),
    "locality-too-precise": ("place", "coordinates"),
    "private-name-shown": ("name",),
}
"""Which withheld values each check is about."""


@dataclass(frozen=True)
class PublicText:
    """A text that becomes public: in `file`, at a path of its tree or in a sentence."""

    text: str
    file: str = "record.yml"
    path: Path = ()
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
    return Problem(name, message, mend, path=text.path, spot=spot, file=text.file)


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
    yield from _of_record(case.record)
    for file, piece in case.texts:
        if file != "record.yml":
            for key in ("title", "theme", "description", "audience"):
                value = getattr(piece.front, key)
                if value:
                    yield PublicText(value, file, (key,))
            for index, place in enumerate(piece.front.hangs_at):
                yield PublicText(place, file, ("hangs_at", index))
        for block in piece.blocks:
            yield from (PublicText(s.text, file, sentence=s, spot=s.spot) for s in block.sentences)
    for key, figure in case.record.figures.items():
        data = case.subject.loaded.files.get(figure.file, b"")
        if figure.file.lower().endswith(".svg") and data:
            yield from (PublicText(words, "record.yml", ("figures", key, "file")) for words in _words_of_drawing(data))


def _of_record(record: Record) -> Iterator[PublicText]:
    yield PublicText(record.title, path=("title",))
    for key in ("summary", "notice"):
        if getattr(record, key):
            yield PublicText(getattr(record, key), path=(key,))
    for key, thing in record.objects.items():
        if thing.note:
            yield PublicText(thing.note, path=("objects", key, "note"))
        yield from (PublicText(why, path=("objects", key, "hides", part)) for part, why in thing.hides.items())
        if thing.identified:
            yield PublicText(thing.identified.by, path=("objects", key, "identified", "by"))
        if thing.locality and thing.locality.because:
            yield PublicText(thing.locality.because, path=("objects", key, "locality", "because"))
    for key, note in record.anatomy.items():
        yield PublicText(note.term, path=("anatomy", key, "term"))
        yield PublicText(note.look_for, path=("anatomy", key, "look_for"))
    for key, figure in record.figures.items():
        for name in ("alt", "caption", "credit"):
            if getattr(figure, name):
                yield PublicText(getattr(figure, name), path=("figures", key, name))
    for key, diet in record.diet.items():
        yield PublicText(diet.method, path=("diet", key, "method"))
        if diet.note:
            yield PublicText(diet.note, path=("diet", key, "note"))
    for key, claim in record.claims.items():
        for name in ("belief", "statement", "why"):
            if getattr(claim, name):
                yield PublicText(getattr(claim, name), path=("claims", key, name))
        for index, evidence in enumerate(claim.evidence):
            for name in ("finds", "quote", "locator"):
                value = getattr(evidence, name, None)
                if value:
                    yield PublicText(value, path=("claims", key, "evidence", index, name))
        for index, telling in enumerate(claim.history):
            yield PublicText(telling.told, path=("claims", key, "history", index, "told"))
    for key, calculation in record.calculations.items():
        yield PublicText(calculation.question, path=("calculations", key, "question"))
        if calculation.means:
            yield PublicText(calculation.means, path=("calculations", key, "means"))
    for index, question in enumerate(record.questions):
        yield PublicText(question.ask, path=("questions", index, "ask"))


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
