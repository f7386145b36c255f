"""Changes of a machine card that are tried without touching the card."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import takewhile
from typing import Any, get_origin

from cutworthy.app.cards.faults import Place, key_text
from cutworthy.app.cards.like import RIVALS, follow
from cutworthy.app.cards.load import MachineCard, machine_from_keys
from cutworthy.app.cards.machine import MachineFile
from cutworthy.app.cards.tables import Table, table_in
from cutworthy.errors import CardError, InputError, Mistake
from cutworthy.present.plain import plain

__all__ = ["changed_machine", "parse_change", "parse_changes", "value_text"]

OPTION = "--what-if"
EXAMPLE = "write KEY=VALUE, as supply.voltage=48V"


def parse_change(text: str) -> tuple[str, str]:
    """Return key and value of a change that is written as KEY=VALUE, without the space around them.

    Raises
    ------
    InputError
        When there is no ``=``, or no key before it.
    """
    key, sign, value = text.partition("=")
    if not sign:
        raise _error(text, f"there is no = in it; {EXAMPLE}")
    return _spelled(key, text), value.strip()


def parse_changes(texts: Iterable[str]) -> dict[str, str]:
    """Return all changes of a command line.

    Raises
    ------
    InputError
        When one of them cannot be read, or two of them change the same key.
    """
    changes: dict[str, str] = {}
    for text in texts:
        key, value = parse_change(text)
        if key in changes:
            raise _error(key, "is given twice; keep one")
        changes[key] = value
    return changes


def changed_machine(card: MachineCard, changes: Mapping[str, str]) -> MachineCard:
    """Return a machine card as it would be read after changes; the card itself and its file stay as they are.

    A value is read as TOML where it is a number, true or false, a list, a table or text in quotes, and
    as plain text otherwise, because a shell takes quotes away. All that a card is checked for is checked.

    What says the same thing in another way gives way: ``lead`` replaces ``pitch`` and ``starts``,
    ``steps_per_inch`` replaces ``steps_per_mm``, ``range`` replaces ``travel``; not a key that is changed
    itself, nor where the value stays what it was.

    ``like`` is followed as on the card: a change of ``axes.x`` is also one of ``axes.y`` where y is like x
    and has no value of its own under that key. A change of ``axes.y`` gives y a value of its own.

    Parameters
    ----------
    card
        A machine card, which may have been changed before.
    changes
        Keys with their tables, as ``axes.x.driver.microsteps``, and what to put there. A table that
        the card does not have is made.

    Raises
    ------
    InputError
        With all that is wrong with the changes, each by its key.
    """
    tried = _read(changes)
    keys = card.keys
    # Twice: a change of one axis may move the value of another that is like it, and was asked to stay.
    for place, value in [*tried.items(), *tried.items()]:
        if not _is_same(_standing(keys, place), value):
            keys = _put(keys, place, value, giving_way=_rivals(place, tried))
    try:
        changed = machine_from_keys(keys, card.text, card.path, known=card)
    except CardError as error:
        raise InputError("\n".join(_told(mistake, tried) for mistake in error.mistakes)) from None
    # The text of the card has another value on that line, or has no such line.
    names = {key_text(place) for place in tried}
    remarks = tuple(replace(each, line=None) if each.key in names else each for each in changed.remarks)
    return replace(changed, remarks=remarks)


def value_text(card: MachineCard, key: str) -> str | None:
    """Return what stands on a card under a key, with ``like`` followed; None where nothing does.

    Of a number that is written as a table it is the value. Lists and other tables are only named.
    """
    match _standing(card.keys, tuple(key.split("."))):
        case None:
            return None
        case bool() as said:
            return str(said).lower()
        case {"value": said}:
            return str(said)
        case list():
            return "a list"
        case dict():
            return "a table"
        case said:
            return str(said)


def _read(changes: Mapping[str, str]) -> dict[Place, Any]:
    """Return the values of changes under their places."""
    tried: dict[Place, Any] = {}
    for key, text in changes.items():
        place, value = tuple(_spelled(key, key).split(".")), _value(text.strip())
        if place in tried:
            raise _error(key_text(place), "is given twice; keep one")
        _refuse_tables(place, value)
        tried[place] = value
    return tried


def _refuse_tables(place: Place, value: Any) -> None:  # noqa: ANN401 - whatever may stand on a card
    """Raise InputError for a table that is to become a single value, and for a key inside a list of tables."""
    table: type[Table] = MachineFile
    for depth, part in enumerate(place, start=1):
        field = table.by_key().get(str(part))
        inner = table_in(field.annotation) if field else None
        if field is None or inner is None:
            return
        if get_origin(field.annotation) is list:
            if depth < len(place):
                raise _error(key_text(place), "stands in a list; change it on the card")
            return
        table = inner
    if not isinstance(value, dict):
        key = key_text(place)
        raise _error(key, f"is a table; name one of its keys, as {key}.{next(iter(table.by_key()))}")


def _spelled(key: str, text: str) -> str:
    """Return a dotted key without the space around its parts, none of which may be empty."""
    parts = [part.strip() for part in key.split(".")]
    if not all(parts):
        raise _error(text, f"a part of the key is empty; {EXAMPLE}")
    return ".".join(parts)


def _value(text: str) -> Any:  # noqa: ANN401 - whatever may stand on a card
    """Return what a text says as TOML, else the text."""
    if "\n" in text:
        return text  # more than one statement
    try:
        return tomllib.loads(f"value = {text}")["value"]
    except (ValueError, RecursionError):
        return text


def _standing(keys: Mapping[str, Any], place: Place) -> Any:  # noqa: ANN401 - whatever stands there
    """Return what stands at a place with ``like`` followed, None where nothing does."""
    inner: Any = keys
    for depth, part in enumerate(place):
        if not isinstance(inner, dict) or part not in inner:
            return None
        inner = follow(inner[part], []) if depth == 0 and part == "axes" else inner[part]
    return inner


def _is_same(old: Any, new: Any) -> bool:  # noqa: ANN401 - whatever stands on a card
    """Return whether a value says what stood there before; 1 is not true."""
    if isinstance(old, dict) and "value" in old and not isinstance(new, dict):
        old = old["value"]
    return type(old) is type(new) and bool(old == new)


def _rivals(place: Place, tried: Iterable[Place]) -> set[str]:
    """Return the keys beside a changed one that give way to it, but for those that are changed themselves."""
    if place[0] != "axes":
        return set()
    return {key for key in RIVALS.get(str(place[-1]), ()) if (*place[:-1], key) not in tried}


def _put(
    keys: Mapping[str, Any],
    place: Place,
    value: Any,  # noqa: ANN401 - whatever may stand there
    *,
    giving_way: set[str],
) -> dict[str, Any]:
    """Return keys with a value at a place; of the tables that lead there a copy is changed."""
    key, *rest = map(str, place)
    if not rest:
        return {each: old for each, old in keys.items() if each not in giving_way} | {key: value}
    inner = keys.get(key, {})
    if not isinstance(inner, dict):
        inner = {"value": inner}  # a number in plain text may be given a part that only a table can have
    return {**keys, key: _put(inner, tuple(rest), value, giving_way=giving_way)}


def _told(mistake: Mistake, tried: Mapping[Place, Any]) -> str:
    """Return a mistake by the change that made it: the one whose place is nearest."""
    at = tuple(mistake.key.split("."))
    place = max(tried, key=lambda each: _together(each, at))
    elsewhere = "" if place[: len(at)] == at else f"{mistake.key}: "
    write = mistake.write.replace(f"write {at[-1]} = ", f"write {mistake.key}=", 1)
    return _line(key_text(place), f"{elsewhere}{mistake.wrong}; {write}")


def _together(one: Place, other: Place) -> int:
    """Return how many parts two places have in common from the front."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))


def _error(key: str, says: str) -> InputError:
    return InputError(_line(key, says))


def _line(key: str, says: str) -> str:
    return f"{OPTION} {plain(key)}: {plain(says)}"
