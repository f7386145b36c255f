"""Changes a card's text, with everything else in it kept: comments, order, white space, ends of lines."""

from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import Comment, Whitespace

__all__ = ["changed_text"]


def changed_text(text: str, entries: Mapping[str, Any]) -> str:
    """Return a card with some keys set.

    Parameters
    ----------
    text
        The card.
    entries
        Values by key with its table, as ``control.corners``; a mapping becomes a table in one line, and None
        takes the key off the card.
    """
    ends = "\r\n" if "\r\n" in text else "\n"
    document = tomlkit.parse(text.replace("\r\n", "\n"))
    for key, value in entries.items():
        *tables, name = key.split(".")
        table: Any = document
        for each in tables:
            if each not in table:
                table[each] = tomlkit.table()
            table = table[each]
        if value is None:
            table.pop(name, None)
        else:
            _set(table, name, _inline(value) if isinstance(value, Mapping) else value)
    return tomlkit.dumps(document).replace("\n", ends)


def _set(table: Any, name: str, value: Any) -> None:  # noqa: ANN401 - the library's tables, and what they hold
    """Set a key; a new one stands behind the last one, before the comments that head the next table."""
    body = getattr(getattr(table, "value", None), "body", None)
    if name in table or body is None:
        table[name] = value
        return
    kept = []
    while body and isinstance(body[-1][1], (Comment, Whitespace)):
        kept.append(body.pop())
    table[name] = value
    body.extend(reversed(kept))


def _inline(values: Mapping[str, Any]) -> Any:  # noqa: ANN401 - what the library makes of it
    inside = ", ".join(f"{key} = {tomlkit.item(value).as_string()}" for key, value in values.items())
    return tomlkit.value(f"{{ {inside} }}")
