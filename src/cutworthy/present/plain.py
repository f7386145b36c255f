"""Text of cards and programs as data: nothing in it can act on a terminal or a page."""

import unicodedata

__all__ = ["plain", "typed"]

# Letters and marks, numbers, punctuation, symbols and the plain space are shown; control, format
# (which can turn the reading direction), surrogate and private characters are escaped.
SHOWN = frozenset("LMNPS")


def plain(text: str) -> str:
    r"""Return the text with every character that does not simply show as an escape, as ``\x1b``."""
    return "".join(c if c == " " or unicodedata.category(c)[0] in SHOWN else _escape(c) for c in text)


def typed(name: str) -> str:
    """Return a name as it has to be typed at a command."""
    shown = plain(name)
    return f'"{shown}"' if " " in shown else shown


def _escape(character: str) -> str:
    code = ord(character)
    if code <= 0xFF:  # noqa: PLR2004 - what fits in two hexadecimal digits
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"  # noqa: PLR2004 - in four
