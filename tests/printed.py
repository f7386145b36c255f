"""What a command printed, for tests of what it says."""

import json
from itertools import chain


def refuse(constant):
    raise AssertionError(constant)


def told(out):
    """Return the one document, in which there is no NaN and no infinity."""
    return json.loads(out, parse_constant=refuse)


def numbers_of(value):
    """Return all the numbers of a document that have a fraction."""
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [value] if isinstance(value, float) else list(chain.from_iterable(map(numbers_of, parts)))


def joined(page):
    """Return a page in one line."""
    return " ".join(page.split())
