"""A record: all that is known for the public about one kind of animal, plant or rock.

The models are what `record.yml` holds after its shape was checked; they are frozen and know nothing of files. Ids are
resolved elsewhere: here they are only words.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, WithJsonSchema

from builder.model.value import Count, DateText, Flag, Id, Ids, Line, Model, Number, Text, Whole

Bears = Literal["for", "against", "mixed"]
Stands = Literal["holds", "partly", "fails", "open"]
Basis = Literal["experiment", "measurement", "observation", "specimen", "review", "account"]
HazardBasis = Literal["tested", "documented", "assumed", "unknown"]
Show = Annotated[
    Literal["withheld", "county", "1", "0.1", "0.01", "0.001"],
    WithJsonSchema({"enum": ["withheld", "county", "1", "0.1", "0.01", "0.001", 1, 0.1, 0.01, 0.001]}),
]


class Taxon(Model):
    """What the record is about. `described_as` is the name under which the species was first published."""

    common: Line
    scientific: Line | None = None
    authority: Line | None = None
    described_as: Line | None = None
    family: Line | None = None
    order: Line | None = None
    say: Line | None = None


class Identified(Model):
    """Who named the object, and when."""

    by: Line
    date: DateText | None = None


class Locality(Model):
    """Where the object comes from, and how much of that the public may see."""

    text: Line | None = None
    county: Line | None = None
    country: Line | None = None
    latitude: Number | None = Field(None, ge=-90, le=90)
    longitude: Number | None = Field(None, ge=-180, le=180)
    uncertainty_m: Number | None = Field(None, gt=0)
    show: Show = "withheld"
    because: Line | None = None


class Party(Model):
    """A collector or donor; with `show: no` the name stays out of everything public."""

    name: Line
    show: Flag = False


class Hazard(Model):
    """A danger in handling, and what that knowledge rests on; unknown is not safe."""

    basis: HazardBasis
    checked: DateText | None = None
    note: Line | None = None


def _hazard(value: Any) -> Any:
    return {"basis": value} if isinstance(value, str) else value


class Object(Model):
    """One catalogued preparation: a jar, a skull, a study skin."""

    catalogue_number: Line
    preparation: Line
    collection: Id
    identified: Identified | None = None
    collected: DateText | None = None
    locality: Locality | None = None
    store: Line | None = None
    container: Line | None = None
    fluid: Line | None = None
    collector: Party | None = None
    donor: Party | None = None
    hazards: dict[Id, Annotated[Hazard, BeforeValidator(_hazard, json_schema_input_type=Hazard | HazardBasis)]] = {}
    hides: dict[Id, Line] = {}
    note: Text | None = None


class Citation(Model):
    """A source, where in it, and what it finds there."""

    source: Id
    locator: Line | None = None
    finds: Text | None = None
    quote: Text | None = None


class At(Model):
    """A point on a figure, as shares of its width and height from the top left."""

    figure: Id
    x: Number = Field(ge=0, le=1)
    y: Number = Field(ge=0, le=1)


class Anatomy(Model):
    """One thing to look at: on which objects it shows, and what a source says it is."""

    term: Line
    look_for: Text
    visible_on: Ids = ()
    seen_by: Literal["eye", "lens", "x-ray", "ct", "literature"] = "eye"
    at: At | None = None
    say: Line | None = None
    sources: tuple[Citation, ...] = ()


class Figure(Model):
    """A picture in the record's folder, with its text alternative and rights."""

    file: Line
    alt: Text | None = None
    caption: Text | None = None
    credit: Line | None = None
    licence: Line | None = None


class Diet(Model):
    """A diet table and where it comes from; `examined` and `empty` count all samples looked at."""

    table: Line
    method: Line
    source: Id
    locator: Line | None = None
    examined: Count | None = None
    empty: Count | None = None
    cluster: Line | None = None
    note: Text | None = None


class Reports(Model):
    """A percentage as a source prints it, and the sample size it is said to be of."""

    share: Line
    of: Annotated[Count, Field(ge=1)]


class SourceEvidence(Model):
    """A source bears the claim out, or not."""

    source: Id
    locator: Line | None = None
    finds: Text
    quote: Text | None = None
    n: Annotated[Count, Field(ge=1)] | None = None
    reports: Reports | None = None
    bears: Bears
    basis: Basis


class DietEvidence(Model):
    """A share in one of the record's diet tables is at least, or at most, a figure."""

    diet: Id
    group: Line | None = None
    prey: Line | None = None
    measure: Literal["occurrence", "count", "mass", "volume"]
    at_least: Number | None = Field(None, ge=0, le=1)
    at_most: Number | None = Field(None, ge=0, le=1)
    finds: Text | None = None
    bears: Bears


class AnatomyEvidence(Model):
    """What can be seen on an object speaks for or against the claim."""

    anatomy: Id
    finds: Text
    bears: Bears


class CalculationEvidence(Model):
    """A calculation of the record speaks for or against the claim."""

    calculation: Id
    finds: Text | None = None
    bears: Bears


def evidence_kind(value: Any) -> str:
    """Which kind an entry is, by its telling key; `source` where none tells."""
    keys = value if isinstance(value, dict) else getattr(type(value), "model_fields", {})
    return next((kind for kind in ("diet", "anatomy", "calculation") if kind in keys), "source")


Evidence = Annotated[
    Annotated[SourceEvidence, Tag("source")]
    | Annotated[DietEvidence, Tag("diet")]
    | Annotated[AnatomyEvidence, Tag("anatomy")]
    | Annotated[CalculationEvidence, Tag("calculation")],
    Discriminator(evidence_kind),
]


class Telling(Model):
    """One step in the history of a belief: who told it, when, and how."""

    source: Id
    locator: Line | None = None
    year: Whole | None = None
    told: Text


class Claim(Model):
    """One checkable statement, with the popular belief it answers where there is one."""

    belief: Text | None = None
    held_by: tuple[Citation, ...] = ()
    statement: Text | None = None
    why: Text | None = None
    stands: Stands | None = None
    evidence: tuple[Evidence, ...] = ()
    history: tuple[Telling, ...] = ()
    recheck: DateText | None = None
    lead: Flag = False
    note: Text | None = None


class Input(Model):
    """A quantity that goes into a calculation: a number, a range `a to b` or `a ± b`, with its unit and source."""

    value: Line
    unit: Line = "count"
    source: Id | None = None
    locator: Line | None = None
    because: Line | None = None


class Outcome(Model):
    """What a calculation works out, in which unit, and what our text says it comes to."""

    is_: Line = Field(alias="is")
    unit: Line = "count"
    says: Line | None = None


class Calculation(Model):
    """A sum that the public can follow: question, inputs with sources, result."""

    question: Line
    inputs: dict[Id, Input]
    result: Outcome
    means: Text | None = None


class Question(Model):
    """A likely question; the answer carries marks like any text."""

    ask: Line
    answer: Text


class Waiver(Model):
    """A warning or error that somebody answers for, for a time."""

    check: Line
    at: Line
    reason: Text
    who: Line
    until: DateText


class Record(Model):
    """`record.yml`."""

    name: Taxon
    title: Line
    summary: Text | None = None
    notice: Text | None = None
    objects: dict[Id, Object] = {}
    anatomy: dict[Id, Anatomy] = {}
    figures: dict[Id, Figure] = {}
    diet: dict[Id, Diet] = {}
    claims: dict[Id, Claim] = {}
    calculations: dict[Id, Calculation] = {}
    questions: tuple[Question, ...] = ()
    waive: tuple[Waiver, ...] = ()

    @property
    def held_back(self) -> frozenset[str]:
        """Ids of the calculations that only leads name: they are published no more than these."""
        named = [
            (evidence.calculation, claim.lead)
            for claim in self.claims.values()
            for evidence in claim.evidence
            if isinstance(evidence, CalculationEvidence)
        ]
        return frozenset(key for key, _ in named) - {key for key, lead in named if not lead}


STEPS: dict[Show, Decimal] = {
    "1": Decimal(1),
    "0.1": Decimal("0.1"),
    "0.01": Decimal("0.01"),
    "0.001": Decimal("0.001"),
}
"""The grid on which a locality is shown, in degrees (Chapman 2020, GBIF, table 7)."""
