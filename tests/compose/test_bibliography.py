"""Sources in short: who and when, also where not all the names were seen.

The form "Soininen and others 2013" is common practice in plain-language museum text; no source.
"""

from __future__ import annotations

import pytest

from builder.compose.bibliography import csl_fields, short_citation
from builder.model.source import Source
from builder.render.citation import Entries, own_style


def source(**fields: object) -> Source:
    return Source.model_validate({"type": "book", "standing": "first-hand", "title": "On newts", **fields})


@pytest.mark.parametrize(
    "author, short",
    [
        (["Field, F."], "Field 2013"),
        (["Field, F.", "Pond, P."], "Field and Pond 2013"),
        (["Field, F.", "Pond, P.", "Moor, M."], "Field and others 2013"),
        (["Field, F.", {"literal": "others"}], "Field and others 2013"),
        (["Field, F.", {"literal": "and others"}], "Field and others 2013"),
        (["Field, F.", {"literal": "et al."}], "Field and others 2013"),
        (["Field, F.", "Pond, P.", {"literal": "and others"}], "Field and others 2013"),
        ([{"literal": "Others"}], "Others 2013"),  # a body of that name, alone
        (["Field, F.", {"literal": "Society of Others"}], "Field and Society of Others 2013"),
        ([{"family": "Valkenburgh", "non-dropping-particle": "Van"}], "Van Valkenburgh 2013"),
    ],
)
def test_who_and_when(author: list[object], short: str) -> None:
    fields = csl_fields(source(author=author, issued="2013"))
    assert short_citation(fields) == short


def test_without_people_the_title_stands_in() -> None:
    assert short_citation(csl_fields(source())) == "On newts n.d."
    assert short_citation(csl_fields(source(author=[], editor=["Keeper, C.", {"literal": "others"}]))) == (
        "Keeper and others n.d."
    )


@pytest.mark.parametrize("rest", ["others", "and others", "et al."])
def test_a_full_entry_says_and_others_once(rest: str) -> None:
    fields = csl_fields(source(author=["Field, F.", {"literal": rest}], issued="2013"))
    assert "".join(text for text, _ in Entries(own_style()).entry(fields)).startswith("Field, F. and others, 2013.")


def test_a_bracket_that_a_short_title_opens_is_closed() -> None:
    title = "[Page quoting one author and another one on the goatsucker]"
    assert short_citation(csl_fields(source(title=title))) == "[Page quoting one author and another one on…] n.d."
    assert short_citation(csl_fields(source(title=title.strip("[]")))).startswith(
        "Page quoting one author and another one on"
    )


# without an author the title takes the author's place: common practice in lists of references, no source
@pytest.mark.parametrize(
    "more, entry",
    [
        ({"issued": "2021"}, "On newts, 2021."),
        ({"author": ["Field, F."], "issued": "2021"}, "Field, F., 2021. On newts."),
        ({"archive": "known here only from later works"}, "On newts. Known here only from later works."),
        ({"title": "On newts …", "author": ["Field, F."], "publisher": "P"}, "Field, F. On newts … P."),
    ],
)
def test_an_entry_begins_with_words_and_sentences_with_capitals(more: dict[str, object], entry: str) -> None:
    runs = Entries(own_style()).entry(csl_fields(source(**more)))
    assert "".join(text for text, _ in runs) == entry
