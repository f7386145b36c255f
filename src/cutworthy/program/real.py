"""Real values: what may stand behind a letter.

This version takes plain numbers. Of expressions, parameters and functions it only sees where they
end, so that the other words of the line are still read.
"""

import re

__all__ = ["NUMBER", "end_of_value"]

# No digit is ever given back, so that a long run of digits is read once (NISTIR 6556, E.2).
NUMBER = r"[+-]?(?:\d++(?:\.\d*+)?|\.\d++)"

_NUMBER = re.compile(NUMBER)
_FUNCTION = re.compile("ABS|ACOS|ASIN|ATAN|COS|EXP|FIX|FUP|LN|ROUND|SIN|SQRT|TAN")


def end_of_value(text: str, at: int) -> int:
    """Return where the real value that begins at ``at`` ends, -1 when none begins there."""
    while text.startswith("#", at):
        at += 1
    number = _NUMBER.match(text, at)
    if number:
        return number.end()
    function = _FUNCTION.match(text, at)
    if function is None:
        return _closing(text, at)
    at = _closing(text, function.end())
    if function[0] == "ATAN" and at > 0:
        return _closing(text, at + 1) if text.startswith("/", at) else -1
    return at


def _closing(text: str, at: int) -> int:
    """Return the place behind the bracket that closes the one at ``at``, -1 when there is none."""
    if not text.startswith("[", at):
        return -1
    depth = 0
    for bracket in re.compile(r"[][]").finditer(text, at):
        depth += 1 if bracket[0] == "[" else -1
        if depth == 0:
            return bracket.end()
    return -1
