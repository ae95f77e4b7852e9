"""Licences as people write them: which are understood, and where their terms stand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.weigh.licence import Licence, LicenceFault, read_licence, terms_address

CC = "https://creativecommons.org"


# Short names are those of the SPDX licence list; the addresses those of the Creative Commons deeds and of the SPDX list
# (both from memory).
@pytest.mark.parametrize(
    ("text", "address"),
    [
        ("CC-BY-4.0", f"{CC}/licenses/by/4.0/"),
        ("CC0-1.0", f"{CC}/publicdomain/zero/1.0/"),
        ("CC0", f"{CC}/publicdomain/zero/1.0/"),
        ("cc by-nc-nd 3.0", f"{CC}/licenses/by-nc-nd/3.0/"),
        ("CC BY 4.0", f"{CC}/licenses/by/4.0/"),
        ("Creative Commons Attribution-ShareAlike 4.0 International", f"{CC}/licenses/by-sa/4.0/"),
        ("Creative Commons Attribution-NonCommercial-NoDerivatives 4.0 International License",
         f"{CC}/licenses/by-nc-nd/4.0/"),
        ("https://creativecommons.org/licenses/by-sa/4.0/", f"{CC}/licenses/by-sa/4.0/"),
        ("https://creativecommons.org/publicdomain/zero/1.0/", f"{CC}/publicdomain/zero/1.0/"),
        ("public domain", ""),
        ("© the museum, all rights reserved", ""),
        ("by permission of the artist", ""),
        ("MIT", "https://spdx.org/licenses/MIT.html"),
        ("mit", "https://spdx.org/licenses/MIT.html"),
        ("MIT OR CC-BY-4.0", ""),
        ("LicenseRef-House", ""),
    ],
)  # fmt: skip
def test_licences_that_are_understood(text: str, address: str) -> None:
    assert read_licence(text) == Licence(text, address)


@pytest.mark.parametrize(
    "text", ["free", "CC-BY", "CC-BY-SA-ND-4.0", "CC-BY-5.0", "yes", "ask", "from the internet", "(" * 500]
)
def test_licences_that_are_not(text: str) -> None:
    fault = read_licence(text)
    assert isinstance(fault, LicenceFault) and fault.message and fault.mend


@given(st.text(max_size=80))
def test_no_text_of_a_licence_raises(text: str) -> None:
    assert read_licence(text)


@pytest.mark.parametrize(
    ("text", "address"),
    [
        ("CC-BY-4.0", f"{CC}/licenses/by/4.0/"),
        ("https://museum.example/terms", "https://museum.example/terms"),  # not understood, but it can be read
        ("https://museum.example/our terms", ""),
        ("javascript:alert(1)", ""),
        ("by permission of the artist", ""),
        ("free", ""),
        ("", ""),
        (None, ""),
    ],
)
def test_where_terms_stand(text: str | None, address: str) -> None:
    assert terms_address(text) == address
