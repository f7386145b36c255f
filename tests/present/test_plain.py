import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutworthy.present.plain import plain


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("left rear (1)", "left rear (1)"),
        ("Eiche, geölt ½", "Eiche, geölt ½"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("a\tb\r\nc", "a\\x09b\\x0d\\x0ac"),
        ("\u202eevil", "\\u202eevil"),
        ("\ue000", "\\ue000"),
        ("\U000e0041", "\\U000e0041"),
        ("\udcff", "\\udcff"),
    ],
)
def test_what_does_not_simply_show_is_escaped(text, shown):
    assert plain(text) == shown


@given(st.text())
def test_nothing_that_acts_is_left(text):
    assert all(c == " " or unicodedata.category(c)[0] in "LMNPS" for c in plain(text))
