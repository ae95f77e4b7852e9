"""Pictures of a specimen page: lineage of a belief, composition of a diet, feeding strategy, cumulative prey curve.

In: the plain data of a document. Out: raw HTML: an inline SVG with title and description, text as text in the colour of
the page (so that light, dark and print all serve), and the same numbers as a table. Geometry is worked out here, in
whole tenths, so that the same data give the same bytes; the templates only place it. No script, no other file.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Collection, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from builder.compose.diet import MEASURES, DietData, KindData
from builder.compose.document import TellerData
from builder.render.environment import environment

WIDTH = 360
"""Every picture is this wide in its own units: it fills a telephone and stays readable."""
NAMES = {"mass": "mass", "volume": "volume", "count": "number of items"}
COLUMNS = {
    "FO": ("in samples", "share of the samples with food that hold it"),
    "N": ("items", "share of all items"),
    "W": ("mass", "share of the whole mass"),
    "V": ("volume", "share of the whole volume"),
    "abundance": ("where found", "share of what is in the samples that hold it"),
    "IRI_share": ("IRI", "share of the index of relative importance"),
    "PSIRI": ("PSIRI", "prey-specific index of relative importance"),
}
"""Columns of a diet table by measure: head, and what it means."""
NUMBERS = "The same in numbers"

Cell = str | tuple[str, str]


def draw_lineage(
    key: str,
    belief: str,
    tellers: Sequence[TellerData],
    name_of: Callable[[str], str],
    *,
    particulars_of: Callable[[str], str] | None = None,
    drawn_by: Callable[[str], Collection[str]] | None = None,
) -> str:
    """Who told a belief, oldest first, with an arc from each work to the one it drew on.

    `name_of` names a source in short, `particulars_of` says more of those whose names are the same, `drawn_by` names
    the works that a source itself says it draws on: where others lie between, the caption says so. Two works of which
    neither drew on the other make no picture.
    """
    at = {teller["source"]: index for index, teller in enumerate(tellers)}
    links = [(at[t["source"]], at[o]) for t in tellers for o in t["draws_on"] if o in at and o != t["source"]]
    if len(tellers) < 2 or (len(tellers) == 2 and not links):
        return ""
    names = _tell_apart(list(at), name_of, particulars_of)
    step, top, stem = 46, 22, 92
    rows = [
        [
            t["year"] or "undated",
            names[t["source"]].removesuffix(f" {t['year']}"),  # the year stands beside it
            "; ".join(names.get(o, o) for o in t["draws_on"]),
        ]
        for t in tellers
    ]
    dated = sum(bool(teller["year"]) for teller in tellers)
    caption = "Oldest first." if dated else "In the order of telling; no date is known."
    if links:
        caption += " A curve leads from a work to the one it drew on."
    if drawn_by and any(other not in drawn_by(t["source"]) for t in tellers for other in t["draws_on"]):
        caption += " Works between, that do not tell the belief themselves, are left out."
    if not all(teller["told"] for teller in tellers):
        caption += " An open ring stands behind others without being shown to tell it."
    if 0 < dated < len(tellers):
        caption += " A work without a year stands where it is told of."
    values = {
        "id": f"lineage-{key}",
        "title": f"Where “{belief}” came from",
        "description": ". ".join(f"{year}: {who}" + (f", after {drawn}" if drawn else "") for year, who, drawn in rows)
        + ".",
        "caption": caption,
        "summary": "The same as a table",
        "height": top + (len(tellers) - 1) * step + 22,
        "stem": stem,
        "rows": [
            {
                "y": top + index * step,
                "year": year if dated else "",
                "lines": _wrap(who, 34),
                "told": tellers[index]["told"],
            }
            for index, (year, who, _) in enumerate(rows)
        ],
        "arcs": [
            {"start": top + one * step, "end": top + other * step, "bend": stem - min(10 + 6 * abs(one - other), 34)}
            for one, other in links
        ],
        "head": ["When", "Who", "Drew on"],
        "table": [[year, who, drawn or "–"] for year, who, drawn in rows],
    }
    return _render("lineage", values)


def draw_composition(diet: DietData) -> str:
    """Shares of each group by the main measure, with 95 % intervals, and all measures as a table."""
    name = MEASURES[diet["measure"]]
    kinds = [kind for kind in diet["groups"] if name in kind["measures"]]
    if not kinds:
        return ""
    left, right = 8, 300
    rows: list[dict[str, Any]] = []
    y = 14
    for kind in kinds:
        lines = _wrap(kind["name"], 44)
        value, low, high = (Decimal(text) for text in kind["measures"][name])
        rows.append(
            {
                "lines": lines,
                "baseline": y,
                "y": y + 15 * len(lines) - 10,
                "length": _tenth(value * (right - left)),
                "low": _tenth(left + low * (right - left)),
                "high": _tenth(left + high * (right - left)),
                "value": _percent(kind["measures"][name][0]),
            }
        )
        y += 15 * len(lines) + 26
    if any("." in row["value"] for row in rows):  # one below another, all to the same tenth
        for row in rows:
            row["value"] = row["value"] if "." in row["value"] else row["value"].replace("\u00a0%", ".0\u00a0%")
    ticks = [{"x": str(left + share * (right - left) // 4), "text": f"{25 * share}\u00a0%"} for share in range(5)]
    shown = [column for column in COLUMNS if any(column in kind["measures"] for kind in diet["groups"])]
    legend = "; ".join(": ".join(COLUMNS[column]) for column in shown)
    title = f"What was found, by {NAMES[diet['measure']]}"
    values = {
        "id": f"diet-{diet['id']}",
        "title": title,
        "description": "; ".join(
            f"{kind['name']} {row['value']}, {_interval(kind['measures'][name])}"
            for kind, row in zip(kinds, rows, strict=True)
        )
        + f". From {diet['examined'] - diet['empty']} samples with food; thin lines are 95\u00a0% intervals.",
        "caption": f"{title}: the bar is the share, the line its 95\u00a0% interval.",
        "height": y + 4,
        "left": left,
        "right": right,
        "rows": rows,
        "ticks": ticks,
        "grid": "".join(f"M{tick['x']} {row['y'] - 2}v19" for row in rows for tick in ticks),
        "head": ["Group", *(COLUMNS[column][0] for column in shown)],
        "table": [[kind["name"], *(_cell(kind, column) for column in shown)] for kind in diet["groups"]],
        "legend": f"{legend[:1].upper()}{legend[1:]}. Below each share is its 95\u00a0% interval.",
    }
    return _render("composition", values)


def draw_strategy(diet: DietData) -> str:
    """Prey-specific abundance against occurrence (Amundsen et al. 1996, *J. Fish Biol.* 48:607–614)."""
    kinds = [kind for kind in diet["prey"] if {"FO", "abundance"} <= set(kind["measures"])]
    if len(kinds) < 2:
        return ""
    left, right, top, bottom = 44, 336, 30, 250
    spots = [
        (
            left + Decimal(kind["measures"]["FO"][0]) * (right - left),
            bottom - Decimal(kind["measures"]["abundance"][0]) * (bottom - top),
        )
        for kind in kinds
    ]
    values = {
        "id": f"strategy-{diet['id']}",
        "title": "How common and how plentiful each prey is",
        "description": "; ".join(
            f"{index} {kind['name']}: in {_percent(kind['measures']['FO'][0])} of the samples, "
            f"{_percent(kind['measures']['abundance'][0])} of what is in those"
            for index, kind in enumerate(kinds, 1)
        )
        + ".",
        "caption": ", ".join(f"{index}\u00a0{kind['name']}" for index, kind in enumerate(kinds, 1))
        + ". Prey high and to the right is eaten much and by many; high and to the left, much by few. "
        "After Amundsen and others 1996, Journal of Fish Biology 48: 607–614.",
        "height": bottom + 46,
        "left": left,
        "right": right,
        "top": top,
        "bottom": bottom,
        "points": [
            {"number": index, "x": _tenth(x), "y": _tenth(y), "label_x": _tenth(label_x), "label_y": _tenth(label_y)}
            for index, ((x, y), (label_x, label_y)) in enumerate(zip(spots, _place_labels(spots), strict=True), 1)
        ],
        "measure": NAMES[diet["measure"]],
        "ticks": [
            {
                "x": str(left + share * (right - left) // 2),
                "y": str(bottom - share * (bottom - top) // 2),
                "text": f"{50 * share}\u00a0%",
            }
            for share in range(3)
        ],
        "head": ["No.", "Prey", "In samples", "Where found"],
        "table": [
            [str(index), kind["name"], _cell(kind, "FO"), _cell(kind, "abundance")]
            for index, kind in enumerate(kinds, 1)
        ],
        "legend": "In samples: share of the samples with food that hold it; where found: its share, by "
        f"{NAMES[diet['measure']]}, of what is in those samples. Below each share is its 95\u00a0% interval.",
    }
    return _render("strategy", values)


def draw_curve(diet: DietData) -> str:
    """Kinds of prey to be expected in so many samples, and how many there may be in all (Chao2)."""
    curve = [(int(samples), Decimal(kinds)) for samples, kinds in diet["curve"]]
    if len(curve) < 2:
        return ""
    expected = Decimal(diet["kinds_expected"]) if diet["kinds_expected"] else None
    seen, (most, reached) = diet["kinds_seen"], curve[-1]
    left, right, top, bottom = 44, 336, 28, 208
    high = max(expected or reached, reached) * Decimal("1.08")

    def height_of(kinds: Decimal) -> str:
        return _tenth(bottom - kinds / high * (bottom - top))

    if expected is None:
        state = f"{seen} kinds seen; how many there are in all cannot be told from these samples"
    else:
        state = "The list of prey looks complete" if diet["complete"] else "The list of prey is not complete"
        state += f": about {_plain(expected)} kinds expected, {seen} seen"
    shown = [curve[0], *curve[len(curve) // 4 :: max(1, len(curve) // 4)], curve[-1]]
    ticks = [{"y": height_of(reached), "text": str(seen)}, {"y": str(bottom), "text": "0"}]
    if expected is not None and (expected - reached) / high * (bottom - top) >= 13:  # else the two would overlap
        ticks.insert(0, {"y": height_of(expected), "text": _plain(expected)})
    values = {
        "id": f"curve-{diet['id']}",
        "title": "How many kinds of prey, after how many samples",
        "description": f"The curve rises to {seen} kinds in {most} samples. {state}.",
        "caption": f"{state}."
        + ("" if expected is None else " The broken line is the number expected in all (estimator Chao2)."),
        "height": bottom + 26,
        "left": left,
        "right": right,
        "top": top,
        "bottom": bottom,
        "line": " ".join(
            f"{_tenth(left + Decimal(samples) / most * (right - left))},{height_of(kinds)}" for samples, kinds in curve
        ),
        "limit": "" if expected is None else height_of(expected),
        "most": most,
        "ticks": ticks,
        "head": ["Samples", "Kinds to expect"],
        "table": [[str(samples), _plain(kinds)] for samples, kinds in dict.fromkeys(shown)]
        + ([] if expected is None else [["in all", _plain(expected)]]),
    }
    return _render("curve", values)


def _tell_apart(
    sources: Sequence[str], name_of: Callable[[str], str], particulars_of: Callable[[str], str] | None
) -> dict[str, str]:
    """Names of sources; those that would be the same with their particulars, and numbered where these do not help."""
    short = [name_of(source) for source in sources]
    names: dict[str, str] = {}
    for source, name in zip(sources, short, strict=True):
        more = particulars_of(source) if particulars_of and short.count(name) > 1 else ""
        full = f"{name}, {more}" if more else name
        same = sum(other == full or other.startswith(f"{full} (") for other in names.values())
        names[source] = f"{full} ({same + 1})" if same else full
    return names


def _place_labels(spots: Sequence[tuple[Decimal, Decimal]]) -> list[tuple[Decimal, Decimal]]:
    """Where the number of each point stands: beside it where it covers no point and no other number, if it can."""
    placed: list[tuple[Decimal, Decimal]] = []
    for x, y in spots:
        beside = [(x + across, y + down) for down in (-5, 14, -18, 26) for across in (13, -13)]
        free = (
            (label_x, label_y)
            for label_x, label_y in beside
            if label_y >= 14
            and all(abs(label_x - a) >= 16 or abs(label_y - b) >= 12 for a, b in placed)
            and all(abs(label_x - a) >= 11 or abs(label_y - 4 - b) >= 9 for a, b in spots)
        )
        placed.append(next(free, beside[0]))
    return placed


def _wrap(text: str, width: int) -> list[str]:
    """At most two rows of a label; what does not fit is cut, and stands in full in the table."""
    if any(unicodedata.east_asian_width(character) in "WF" for character in text):
        width //= 2
    rows = textwrap.wrap(text, width) or ["?"]
    return rows if len(rows) <= 2 else [rows[0], rows[1][: width - 1].rstrip() + "…"]


def _render(name: str, values: Mapping[str, Any]) -> str:
    values = {"kind": name, "width": WIDTH, "summary": NUMBERS, "legend": "", **values}
    text = environment().get_template(f"{name}.svg.jinja").render(values)
    return "\n".join(row.strip() for row in text.split("\n") if row.strip())


def _cell(kind: KindData, measure: str) -> Cell:
    found = kind["measures"].get(measure)
    return (_percent(found[0]), _interval(found)) if found else "–"


def _interval(found: Sequence[str]) -> str:
    return f"{_number(found[1])}–{_number(found[2])}"


def _percent(share: str) -> str:
    return f"{_number(share)}\u00a0%"


def _number(share: str) -> str:
    """A share in per cent, to a tenth; below a tenth to a hundredth, so that little is not nothing."""
    return _plain(Decimal(share) * 100, fine=True)


def _plain(number: Decimal, *, fine: bool = False) -> str:
    step = Decimal("0.01") if fine and 0 < number < Decimal("0.1") else Decimal("0.1")
    return f"{number.quantize(step, ROUND_HALF_UP):f}".removesuffix(".0")


def _tenth(number: Decimal) -> str:
    return f"{number.quantize(Decimal('0.1'), ROUND_HALF_UP):f}".removesuffix(".0")
