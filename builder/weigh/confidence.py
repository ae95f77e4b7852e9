"""Says how sure the evidence lets us be, from the independent lines of one claim.

In: lines of evidence (`lines.count_lines`). Out: agreement, level of evidence, confidence, where the belief or
statement stands, each as one plain word; sentences that explain the result; what would raise the confidence.
Refuses nothing: no line at all is a result too. All ratios are compared as whole numbers, without rounding.

Evidence and agreement are the two dimensions of the IPCC guidance note on uncertainty (Mastrandrea et al. 2010,
figure 1), which leaves the terms of the nine cells open: the stepping from cell to term is this program's choice.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from builder.weigh.lines import Item, Line

Agreement = Literal["low", "medium", "high"]
Evidence = Literal["limited", "medium", "robust"]
Confidence = Literal["very low", "low", "medium", "high", "very high"]
Stands = Literal["holds", "partly", "fails", "open"]

AGREEMENTS: tuple[Agreement, ...] = ("low", "medium", "high")
EVIDENCES: tuple[Evidence, ...] = ("limited", "medium", "robust")
CONFIDENCES: tuple[Confidence, ...] = ("very low", "low", "medium", "high", "very high")
ADEQUATE_SAMPLE = 30

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Weight:
    """What the evidence of one claim is worth. `adequate_sample` is the house rule it was judged by."""

    lines: tuple[Line, ...]
    agreement: Agreement
    evidence: Evidence
    confidence: Confidence
    stands: Stands
    adequate_sample: int


def weigh_lines(lines: Iterable[Line], *, adequate_sample: int = ADEQUATE_SAMPLE) -> Weight:
    """Everything this module works out about `lines`; `adequate_sample` individuals, samples or trials are enough."""
    counted = tuple(lines)
    agreement, evidence = judge_agreement(counted), judge_evidence(counted, adequate_sample=adequate_sample)
    stands = compute_stands(counted, evidence, agreement)
    return Weight(counted, agreement, evidence, state_confidence(evidence, agreement), stands, adequate_sample)


def judge_agreement(lines: Sequence[Line]) -> Agreement:
    """Share of lines on the majority side, where a mixed line sides with nobody: high from 0.9, medium from 2/3.

    A single line cannot be judged and is taken as medium; where there is none, nothing agrees: low.
    """
    if len(lines) == 1:
        return "medium"
    majority = max(_leaning(lines, "for"), _leaning(lines, "against"))
    if not lines or 3 * majority < 2 * len(lines):
        return "low"
    return "high" if 10 * majority >= 9 * len(lines) else "medium"


def judge_evidence(lines: Sequence[Line], *, adequate_sample: int = ADEQUATE_SAMPLE) -> Evidence:
    """Robust: three lines of at least two bases, one of them first-hand. Medium: two lines, or one that is a
    first-hand measurement or experiment on at least `adequate_sample`. Else limited."""
    bases = _bases(lines)
    if len(lines) >= 3 and len(bases) >= 2 and any(line.first_hand for line in lines):
        return "robust"
    if len(lines) >= 2 or any(_measures(item, adequate_sample) for line in lines for item in _known(line)):
        return "medium"
    return "limited"


def state_confidence(evidence: Evidence, agreement: Agreement) -> Confidence:
    """One of five terms: one step up from `very low` for each step of evidence and for each step of agreement."""
    return CONFIDENCES[EVIDENCES.index(evidence) + AGREEMENTS.index(agreement)]


def compute_stands(lines: Sequence[Line], evidence: Evidence, agreement: Agreement) -> Stands:
    """`open` with no line, or limited evidence with low agreement; `fails` or `holds` when at least two thirds of the
    lines lean against or for; else `partly`."""
    if not lines or (evidence == "limited" and agreement == "low"):
        return "open"
    if 3 * _leaning(lines, "against") >= 2 * len(lines):
        return "fails"
    return "holds" if 3 * _leaning(lines, "for") >= 2 * len(lines) else "partly"


def compare_stands(declared: Stands, computed: Stands) -> Literal["the same", "more", "less"]:
    """Whether `declared` says more or less than the evidence does: `open` says least, then `partly`, then the firm two.

    The opposite of a firm result says more than the evidence: nothing bears it out.
    """
    if declared == computed:
        return "the same"
    firmness = {"open": 0, "partly": 1, "holds": 2, "fails": 2}
    return "less" if firmness[declared] < firmness[computed] else "more"


def explain(weight: Weight, *, about: str = "belief", names: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """The result in sentences of plain English. `about` is what the items lean on, `belief` or `statement`;
    `names` gives the words for roots and bases of evidence, where an id alone would mean nothing to a reader."""
    lines, words = weight.lines, names or {}
    if not lines:
        return ("Nothing that can be traced to a source or an object bears on it yet, so the question is open.",)
    told = []
    if len(lines) > 1:
        listed = _list_words([_name(line.root, words) for line in lines])
        told.append(f"{_count(len(lines), 'independent line').capitalize()} of evidence: {listed}.")
    for line in lines:
        root, works = _name(line.root, words), len({item.key for item in line.items})
        repeaters = {item.key: item.is_work for item in line.items if not item.own}
        if len(repeaters) > 1 and all(repeaters.values()):
            told.append(f"{_count(len(repeaters), 'work').capitalize()} repeat it; they rest on one: {root}.")
        elif works > 1:
            told.append(f"{_count(works, 'item').capitalize()} of evidence rest on one: {root}.")
        elif len(lines) == 1:
            told.append(f"One line of evidence only: {root}.")
        if line.unknown_origin:
            told.append(f"What {root} drew on is not known, so it counts as an account.")
    told.append(_explain_agreement(weight, about))
    told.append(_explain_evidence(weight, words))
    cell = f"{weight.evidence.capitalize()} evidence with {weight.agreement} agreement"
    told.append(f"{cell} gives {weight.confidence} confidence.")
    outcome = {"holds": "holds", "partly": "holds in part only", "fails": "fails", "open": "remains open"}
    told.append(f"On this evidence the {about} {outcome[weight.stands]}.")
    return tuple(told)


def name_improvements(weight: Weight) -> tuple[str, ...]:
    """What would raise the confidence, most useful first; empty where it is very high already."""
    lines, wanted = weight.lines, list[str]()
    bases = _bases(lines)
    first_hand = any(line.first_hand for line in lines)
    if not lines:
        return ("a first source that says where it was found, or an object that shows it",)
    if len(lines) == 1:
        noun = bases[0] if len(bases) == 1 and bases[0] not in ("account", "review") else "observation"
        wanted.append(f"a second, independent {noun}")
        if weight.evidence == "limited":
            wanted.append(f"a first-hand measurement or experiment on at least {weight.adequate_sample}")
    elif weight.evidence != "robust":
        kinds = _list_words([basis + "s" for basis in bases])
        if len(lines) < 3:
            wanted.append("a third, independent line" + ("" if len(bases) > 1 else f", of another kind than {kinds}"))
        elif len(bases) < 2:
            wanted.append(f"evidence of another kind than {kinds}, from a source of its own")
        if not first_hand:
            wanted.append("a first-hand source, one with data of its own")
    if len(lines) > 1 and weight.agreement != "high":
        wanted.append("more independent lines, or a study that settles why the present ones differ")
    return tuple(wanted)


def _explain_agreement(weight: Weight, about: str) -> str:
    lines = weight.lines
    counts = [("for", _leaning(lines, "for")), ("against", _leaning(lines, "against"))]
    parts = [f"{spell_count(number)} {side} the {about}" for side, number in counts if number]
    mixed = len(lines) - counts[0][1] - counts[1][1]
    if mixed:
        parts.append(f"{spell_count(mixed)} mixed")
    if len(lines) == 1:
        side = "is mixed" if mixed else f"leans {lines[0].lean} the {about}"
        return f"It {side}; a single line cannot agree or disagree, so agreement is taken as medium."
    if len(parts) == 1 and not mixed:
        return f"All lean {lines[0].lean} the {about}: agreement is high."
    return f"Of the {spell_count(len(lines))}, {_list_words(parts)}: agreement is {weight.agreement}."


def _explain_evidence(weight: Weight, words: Mapping[str, str]) -> str:
    lines = weight.lines
    kinds = _list_words([words.get(basis, basis) for basis in _bases(lines)])
    hand = "first-hand" if any(line.first_hand for line in lines) else "none of it first-hand"
    if len(lines) == 1:
        reason = f"one line ({kinds}, {'first-hand' if lines[0].first_hand else 'not first-hand'})"
        samples = [item.sample for item in _known(lines[0]) if item.sample is not None]
        if samples:
            enough = "enough" if max(samples) >= weight.adequate_sample else "too few"
            reason += f" from a sample of {max(samples)}, where {weight.adequate_sample} are asked: {enough}"
    else:
        reason = f"{_count(len(lines), 'line')} ({kinds}; {hand})"
    return f"The evidence is {weight.evidence}: {reason}."


def _bases(lines: Sequence[Line]) -> list[str]:
    return sorted(frozenset[str]().union(*(line.bases for line in lines)))


def _known(line: Line) -> tuple[Item, ...]:
    return () if line.unknown_origin else line.speakers


def _measures(item: Item, adequate_sample: int) -> bool:
    measured = item.first_hand and item.basis in ("measurement", "experiment")
    return measured and item.sample is not None and item.sample >= adequate_sample


def _leaning(lines: Sequence[Line], side: str) -> int:
    return sum(line.lean == side for line in lines)


def _name(identifier: str, names: Mapping[str, str]) -> str:
    return names.get(identifier, f"`{identifier}`")


def say_lines(count: int) -> str:
    """How many lines, for one or more, as it stands in a sentence."""
    return "one line of evidence" if count == 1 else f"{spell_count(count)} independent lines of evidence"


def _count(number: int, noun: str) -> str:
    return f"{spell_count(number)} {noun}{'' if number == 1 else 's'}"


def spell_count(number: int) -> str:
    """A small count in words, a larger one in digits: style of the house, no source."""
    return _COUNTS[number] if number < len(_COUNTS) else str(number)


def _list_words(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
