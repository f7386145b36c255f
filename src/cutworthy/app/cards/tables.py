"""What the tables of a card have in common: their shape, and the way from a table to a record of the model."""

import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Annotated, Any, ClassVar, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ConfigDict
from pydantic.fields import FieldInfo

from cutworthy.app.cards.amounts import Entry
from cutworthy.app.cards.faults import Fault, Place, key_text
from cutworthy.app.cards.words import Reader
from cutworthy.model.quantity import Quantity
from cutworthy.units import Kind

__all__ = ["CardKey", "Note", "Table", "each_keyed", "finished", "keyed", "keys_of", "record_of", "sample", "table_in"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A remark on how a card was read, which changes nothing."""

    at: Place
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardKey:
    """A key that a card may have, with its tables: ``("bits", "diameter")``."""

    path: tuple[str, ...]
    required: bool


class Table(BaseModel):
    """A table of a card. The names of its fields are the keys, with an alias where Python needs the word.

    A field of the record that ``makes`` is the key of the same name, or of that name with its unit
    behind it; :meth:`more` gives the others.
    """

    # Built when first used: the schemas of the inner tables are then built once, inside the card's.
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, defer_build=True)

    makes: ClassVar[type[Any]]
    renamed: ClassVar[Mapping[str, str]] = {}  # field of the record: key of the card
    one_of: ClassVar[tuple[tuple[str, str], ...]] = ()  # exactly one of two keys must be there
    not_both: ClassVar[tuple[tuple[str, str], ...]] = ()

    @classmethod
    def by_key(cls) -> dict[str, FieldInfo]:
        """Return the fields under the keys of the card."""
        return {field.alias or name: field for name, field in cls.model_fields.items()}

    @classmethod
    def together(cls, raw: Mapping[str, Any]) -> Iterator[Fault]:
        """Yield what is wrong with the set of keys that a table has, whatever their values."""
        for pair in cls.one_of:
            if not set(pair) & set(raw):
                samples = " or ".join(f"{key} = {sample(cls.model_fields[key])}" for key in pair)
                yield Fault("is missing", f"write {samples}", pair[:1])
        for first, second in cls.one_of + cls.not_both:
            if first in raw and second in raw:
                yield Fault(f"cannot stand beside {first}", "write only one of the two", (second,))

    def unused(self) -> Mapping[str, str]:
        """Return keys that say nothing here, each with the reason."""
        return {}

    def more(self, at: Place) -> dict[str, Any]:  # noqa: ARG002 - for those that need it
        """Return the fields of the record that are not one key each."""
        return {}


def record_of(table: Table, at: Place, notes: list[Note]) -> Any:  # noqa: ANN401 - what the table makes
    """Return the record that a table makes, and add remarks to ``notes``."""
    unused = table.unused()
    notes += [Note(at=(*at, key), says=why) for key, why in unused.items()]
    values = table.more(at)
    for name, key in _homes(type(table)).items():
        if name not in values:
            field = type(table).model_fields[key]
            place = (*at, field.alias or key)
            value = field.default if key in unused else getattr(table, key)
            values[name] = finished(value, place, notes)
    return table.makes(**values)


def finished(value: Any, at: Place, notes: list[Note]) -> Any:  # noqa: ANN401 - any field
    """Return a field of a table as the record has it, and add remarks to ``notes``."""
    match value:
        case Entry():
            if value.note:
                notes.append(Note(at=at, says=value.note))
            return keyed(value, at)
        case Table():
            return record_of(value, at, notes)
        case list():
            return tuple(finished(each, (*at, i), notes) for i, each in enumerate(value))
        case _:
            return value


def keyed(entry: Entry, at: Place) -> Quantity:
    """Return the quantity of an entry with its key."""
    return replace(entry.quantity, key=key_text(at))


def each_keyed(names: tuple[str, ...], entries: tuple[Entry, ...] | None, at: Place) -> dict[str, Quantity | None]:
    """Return the quantities of a list under their names in the record, None each where there is no list."""
    if entries is None:
        return dict.fromkeys(names)
    return {name: keyed(entry, (*at, i)) for i, (name, entry) in enumerate(zip(names, entries, strict=True))}


def keys_of(table: type[Table], path: tuple[str, ...] = ()) -> Iterator[CardKey]:
    """Yield every key of a table and of those inside it."""
    for key, field in table.by_key().items():
        place = (*path, key)
        yield CardKey(path=place, required=field.is_required())
        if inner := table_in(field.annotation):
            yield from keys_of(inner, place)


def table_in(annotation: object) -> type[Table] | None:
    """Return the table that an annotation names, however deep, or None."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next((inner for each in get_args(annotation) if (inner := table_in(each))), None)


def sample(field: FieldInfo) -> str:
    """Return an example of a key's value, as it stands on a card."""
    return _sample(Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation)


def _sample(annotation: Any) -> str:  # noqa: ANN401 - an annotation
    origin, inside = get_origin(annotation), get_args(annotation)
    readers = [each for each in getattr(annotation, "__metadata__", ()) if isinstance(each, Reader)]
    if readers:
        return readers[0].sample
    if origin is Literal:
        return f'"{inside[0]}"'
    if origin in (list, tuple):
        return f"[{', '.join(map(_sample, inside))}]"
    if origin in (Annotated, Union, types.UnionType):
        return _sample(inside[0])
    return "true"


@cache
def _homes(table: type[Table]) -> dict[str, str]:
    """Return which key of a table each field of its record comes from, unless from several or from none."""
    endings = ["", *(f"_{kind.ending}" for kind in Kind)]
    return {
        field.name: key
        for field in fields(table.makes)
        for ending in endings
        if field.name.endswith(ending)
        and (key := table.renamed.get(field.name, field.name.removesuffix(ending))) in table.model_fields
    }
