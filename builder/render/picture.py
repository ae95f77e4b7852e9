"""Pictures of a specimen page: lineage of a belief, composition of a diet, feeding strategy, cumulative prey curve.

In: the plain data of a document. Out: raw HTML: an inline SVG with title and description, text as text in the colour of
the page (so that light, dark and print all serve), and the same numbers as a table. Geometry is worked out here, in
whole tenths, so that the same data give the same bytes; the templates only place it. No script, no other file.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from builder.compose.diet import MEASURES, DietData, KindData
from builder.compose.document import TellerData
from builder.render.environment import environment

WIDTH = 360
"""Every picture is this wide in its own units: it fills a telephone and stays readable."""
NAMES = {"mass": "mass", "volume": "volume", "count": "number of items"}


def draw_lineage(key: str, belief: str, tellers: Sequence[TellerData], name_of: Callable[[str], str]) -> str:
    """Who told a belief, oldest first, with an arc from each work to the one it drew on. `name_of` names a source."""
    if len(tellers) < 2:
        return ""
    at = {teller["source"]: index for index, teller in enumerate(tellers)}
    name_of = _told_apart([teller["source"] for teller in tellers], name_of)
    step, top, stem = 46, 22, 92
    rows = [
        {
            "y": top + index * step,
            "year": teller["year"] or "undated",
            "lines": textwrap.wrap(name_of(teller["source"]), 32)[:2] or ["?"],
            "told": teller["told"],
        }
        for index, teller in enumerate(tellers)
    ]
    arcs = []
    for index, teller in enumerate(tellers):
        for other in teller["draws_on"]:
            if other in at and at[other] != index:
                start, end = top + index * step, top + at[other] * step
                reach = min(10 + 6 * abs(index - at[other]), 34)
                arcs.append({"x": stem, "start": start, "end": end, "bend": stem - reach})
    words = [
        f"{teller['year'] or 'undated'}: {name_of(teller['source'])}"
        + (f", after {'; '.join(name_of(other) for other in teller['draws_on'])}" if teller["draws_on"] else "")
        for teller in tellers
    ]
    values = {
        "id": f"lineage-{key}",
        "title": f"Where “{belief}” came from",
        "description": ". ".join(words) + ".",
        "height": top + (len(tellers) - 1) * step + 30,
        "width": WIDTH,
        "stem": stem,
        "rows": rows,
        "arcs": arcs,
        "table": [
            [
                teller["year"] or "undated",
                name_of(teller["source"]),
                "; ".join(name_of(other) for other in teller["draws_on"]) or "–",
            ]
            for teller in tellers
        ],
    }
    return _render("lineage", values)


def draw_composition(diet: DietData) -> str:
    """Shares of each group by the main measure, with 95 % intervals, and all measures as a table."""
    name = MEASURES[diet["measure"]]
    kinds = [kind for kind in diet["groups"] if name in kind["measures"]]
    if not kinds:
        return ""
    left, right, step, top = 8, 300, 42, 30
    rows = []
    for index, kind in enumerate(kinds):
        value, low, high = (float(text) for text in kind["measures"][name])
        y = top + index * step
        rows.append(
            {
                "y": y,
                "label": textwrap.shorten(kind["name"], 40, placeholder="…"),
                "length": _tenth(value * (right - left)),
                "low": _tenth(left + low * (right - left)),
                "high": _tenth(left + high * (right - left)),
                "value": _percent(kind["measures"][name][0]),
            }
        )
    full = diet["examined"] - diet["empty"]
    values = {
        "id": f"diet-{diet['id']}",
        "title": f"What was found, by {NAMES[diet['measure']]}",
        "description": "; ".join(f"{row['label']} {row['value']}" for row in rows)
        + f". From {full} samples with food; thin lines are 95 % intervals.",
        "width": WIDTH,
        "height": top + len(kinds) * step + 24,
        "left": left,
        "right": right,
        "rows": rows,
        "ticks": [{"x": _tenth(left + share * (right - left) / 4), "text": f"{25 * share} %"} for share in range(5)],
        "head": _heads(diet),
        "table": [_row(diet, kind) for kind in diet["groups"]],
    }
    return _render("composition", values)


def draw_strategy(diet: DietData) -> str:
    """Prey-specific abundance against occurrence (Amundsen et al. 1996, *J. Fish Biol.* 48:607–614)."""
    kinds = [kind for kind in diet["prey"] if {"FO", "abundance"} <= set(kind["measures"])]
    if len(kinds) < 2:
        return ""
    left, right, top, bottom = 44, 340, 18, 238
    points = []
    for index, kind in enumerate(kinds, 1):
        across, up = float(kind["measures"]["FO"][0]), float(kind["measures"]["abundance"][0])
        points.append(
            {
                "number": index,
                "x": _tenth(left + across * (right - left)),
                "y": _tenth(bottom - up * (bottom - top)),
            }
        )
    values = {
        "id": f"strategy-{diet['id']}",
        "title": "How common and how plentiful each prey is",
        "description": "; ".join(
            f"{index} {kind['name']}: in {_percent(kind['measures']['FO'][0])} of the samples, "
            f"{_percent(kind['measures']['abundance'][0])} of what is in those"
            for index, kind in enumerate(kinds, 1)
        )
        + ".",
        "width": WIDTH,
        "height": 292,
        "left": left,
        "right": right,
        "top": top,
        "bottom": bottom,
        "points": points,
        "measure": NAMES[diet["measure"]],
        "ticks": [
            {
                "x": _tenth(left + share * (right - left) / 2),
                "y": _tenth(bottom - share * (bottom - top) / 2),
                "text": f"{50 * share} %",
            }
            for share in range(3)
        ],
        "table": [
            [
                str(index),
                kind["name"],
                _percent(kind["measures"]["FO"][0]),
                _percent(kind["measures"]["abundance"][0]),
            ]
            for index, kind in enumerate(kinds, 1)
        ],
    }
    return _render("strategy", values)


def draw_curve(diet: DietData) -> str:
    """Kinds of prey to be expected in so many samples, and how many there may be in all (Chao2)."""
    curve = [(int(samples), float(kinds)) for samples, kinds in diet["curve"]]
    if len(curve) < 2:
        return ""
    expected = float(diet["kinds_expected"] or curve[-1][1])
    left, right, top, bottom = 44, 340, 18, 198
    most, high = curve[-1][0], max(expected, curve[-1][1]) * 1.08
    points = [
        (_tenth(left + samples / most * (right - left)), _tenth(bottom - kinds / high * (bottom - top)))
        for samples, kinds in curve
    ]
    seen = diet["kinds_seen"]
    state = "The list of prey looks complete." if diet["complete"] else "The list of prey is not complete."
    shown = [curve[0], *curve[len(curve) // 4 :: max(1, len(curve) // 4)], curve[-1]]
    values = {
        "id": f"curve-{diet['id']}",
        "title": "How many kinds of prey, after how many samples",
        "description": f"The curve rises to {seen} kinds in {most} samples; about {diet['kinds_expected']} are "
        f"expected in all. {state}",
        "state": f"{seen} kinds seen, about {diet['kinds_expected']} expected in all (Chao2). {state}",
        "width": WIDTH,
        "height": 250,
        "left": left,
        "right": right,
        "top": top,
        "bottom": bottom,
        "line": " ".join(f"{x},{y}" for x, y in points),
        "limit": _tenth(bottom - expected / high * (bottom - top)),
        "most": most,
        "seen": seen,
        "seen_y": points[-1][1],
        "table": [[str(samples), f"{kinds:.1f}"] for samples, kinds in dict.fromkeys(shown)],
    }
    return _render("curve", values)


def _told_apart(sources: Sequence[str], name_of: Callable[[str], str]) -> Callable[[str], str]:
    """Names of sources, those that would be the same told apart by numbers."""
    names: dict[str, str] = {}
    for source in sources:
        name = name_of(source)
        same = sum(other == name or other.startswith(f"{name} (") for other in names.values())
        names[source] = f"{name} ({same + 1})" if same else name
    return lambda source: names.get(source) or name_of(source)


def _heads(diet: DietData) -> list[str]:
    heads = {"FO": "in samples", "N": "items", "W": "mass", "V": "volume", "IRI_share": "IRI", "PSIRI": "PSIRI"}
    return [heads[name] for name in _shown(diet)]


def _shown(diet: DietData) -> list[str]:
    names = ("FO", "N", "W", "V", "IRI_share", "PSIRI")
    return [name for name in names if any(name in kind["measures"] for kind in diet["groups"])]


def _row(diet: DietData, kind: KindData) -> list[str]:
    cells = [kind["name"]]
    for name in _shown(diet):
        found = kind["measures"].get(name)
        cells.append(f"{_percent(found[0])} ({_number(found[1])}–{_number(found[2])})" if found else "–")
    return cells


def _render(name: str, values: Mapping[str, Any]) -> str:
    text = environment().get_template(f"{name}.svg.jinja").render(values)
    return "\n".join(row.strip() for row in text.split("\n") if row.strip())


def _percent(share: str) -> str:
    return f"{_number(share)} %"


def _number(share: str) -> str:
    return f"{100 * float(share):.1f}".removesuffix(".0")


def _tenth(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
