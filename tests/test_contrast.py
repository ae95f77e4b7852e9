"""Contrast of every pair of colours the site sets text in, light and dark, by WCAG 2.2's own formula."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

CSS = (Path(__file__).parent.parent / "builder/publish/assets/vouchered.css").read_text("utf-8")
TEXT_ON_GROUND = [
    ("ink", "paper"), ("ink", "card"), ("ink", "sheet"), ("soft", "paper"), ("soft", "card"), ("soft", "sheet"),
    ("link", "paper"), ("link", "card"), ("link", "sheet"), ("red", "paper"), ("red", "card"), ("red", "red-sheet"),
    ("ink", "red-sheet"), ("link", "red-sheet"),
]  # fmt: skip


def channel(value: int) -> float:
    """Relative value of an 8-bit sRGB channel, with the threshold of May 2021 (WCAG 2.2, relative luminance)."""
    share = value / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def luminance(colour: str) -> float:
    digits = colour.lstrip("#")
    digits = "".join(c * 2 for c in digits) if len(digits) == 3 else digits
    red, green, blue = (channel(int(digits[at : at + 2], 16)) for at in (0, 2, 4))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio: (L1 + 0.05) / (L2 + 0.05). Never rounded before it is judged."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def palette(scheme: str) -> dict[str, str]:
    """The custom properties of a scheme, in the order of the file: the second set is that of dark surroundings."""
    blocks = re.findall(r":root(?:[^{\n]*)\{([^}]*--paper[^}]*)\}", CSS)
    sets = [dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{3,6});", block)) for block in blocks]
    assert len(sets) >= 3 and sets[1] == sets[2], "light, dark by the system, dark by the reader's choice"
    return sets[0] if scheme == "light" else {**sets[0], **sets[1]}


@pytest.mark.parametrize(
    "one, other, expected",
    [  # WCAG 2.2 Understanding 1.4.11 and technique G207; extremes from the definition
        ("#000", "#fff", 21.0),
        ("#123456", "#123456", 1.0),
        ("#949494", "#fff", 3.0335),
        ("#E5E5E5", "#6221EA", 5.6994),
        ("#FFF000", "#fff", 1.1854),
        ("#9D9D9D", "#fff", 2.7120),
        ("#E3660E", "#fff", 3.4019),
        ("#767676", "#fff", 4.5422),
        ("#777777", "#fff", 4.4781),
        ("#959595", "#fff", 2.9953),
        ("#595959", "#fff", 7.0047),
        ("#FF7F50", "#000", 8.4036),  # a wiki prints 4.66 for this pair, which is wrong
    ],
)
def test_the_formula_gives_the_published_ratios(one: str, other: str, expected: float) -> None:
    assert contrast(one, other) == pytest.approx(expected, abs=5e-5)


def test_primary_colours_have_the_published_luminance() -> None:
    """WCAG 2.2, relative luminance: the weights of the three channels."""
    assert [luminance(c) for c in ("#f00", "#0f0", "#00f")] == pytest.approx([0.2126, 0.7152, 0.0722])


def test_both_published_thresholds_judge_every_channel_alike() -> None:
    """0.03928 stood until May 2021, 0.04045 since: no 8-bit value lies between them."""
    assert not [value for value in range(256) if 0.03928 < value / 255 <= 0.04045]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("text, ground", TEXT_ON_GROUND)
def test_text_can_be_read(text: str, ground: str, scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.3 (AA): 4.5 to 1, unrounded."""
    colours = palette(scheme)
    assert contrast(colours[text], colours[ground]) >= 4.5


def test_a_ratio_is_not_rounded_before_it_is_judged() -> None:
    """WCAG 2.2, Understanding 1.4.3: 4.499 to 1 fails. Grey #777777 on white is 4.478, #767676 is 4.542."""
    assert not contrast("#777777", "#fff") >= 4.5 and round(contrast("#777777", "#fff")) == 4
    assert contrast("#767676", "#fff") >= 4.5


def test_large_text_may_be_fainter() -> None:
    """WCAG 2.2, success criterion 1.4.3: 3 to 1 from 18 pt. #949494 on white passes so, and fails at 12 pt."""
    assert 3 <= contrast("#949494", "#fff") < 4.5


def test_every_colour_in_use_is_judged() -> None:
    """No rule sets text in a colour, or a ground behind it, that the pairs above leave out."""
    body = re.sub(r"/\*.*?\*/", "", CSS, flags=re.S)
    texts = set(re.findall(r"(?<![-\w])color: var\(--([a-z-]+)\)", body))
    grounds = set(re.findall(r"background(?:-color)?: var\(--([a-z-]+)\)", body))
    assert texts - {"paper"} == {text for text, _ in TEXT_ON_GROUND}
    assert grounds - {"ink"} == {ground for _, ground in TEXT_ON_GROUND}
    assert re.findall(r"(?<![-\w])color: (?!var|inherit)([^;]+);", body) == ["#ffffff"], "the number on a dot"
    assert contrast("#ffffff", "#8c2f1c") >= 4.5 and "background: #8c2f1c;\n  color: #ffffff;" in CSS


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_edge_of_a_field_can_be_told(scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.11 (AA): 3 to 1 for the border that shows where to write or press."""
    colours = palette(scheme)
    assert min(contrast(colours["line"], colours[ground]) for ground in ("paper", "card")) >= 3


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_focus_can_be_told_from_the_ground(scheme: str) -> None:
    """WCAG 2.2, success criterion 1.4.11 (AA): 3 to 1 for what shows where the focus is."""
    colours = palette(scheme)
    assert min(contrast(colours["red"], colours[ground]) for ground in ("paper", "card", "sheet")) >= 3
