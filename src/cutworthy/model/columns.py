"""Array records: structs of columns of one length, read-only, with a digest."""

import hashlib
from dataclasses import fields
from typing import Any, Self

import numpy as np
import numpy.typing as npt

__all__ = ["Codes", "Columns", "Floats", "Ints", "Lines", "Value", "together"]

Floats = npt.NDArray[np.float64]
Value = Floats | float  # what formulas take: one number, or one for each row
Ints = npt.NDArray[np.int64]
Lines = npt.NDArray[np.int32]
Codes = npt.NDArray[np.uint8]


def together(rows: Ints) -> Ints | slice:
    """Return increasing rows as a slice where none is left out between them: taken so, columns are not copied."""
    if len(rows) and rows[-1] - rows[0] + 1 == len(rows):
        return slice(int(rows[0]), int(rows[-1]) + 1)
    return rows


class Columns:
    """Base of array records: each field is an array whose first dimension is the row.

    Subclasses are frozen, slotted dataclasses with ``eq=False``. Arrays are taken over,
    C-contiguous and read-only, and stay so through pickling. A field may be a record about some of
    the rows, which has columns of its own length; such records have no ``take``.
    """

    __slots__ = ()

    def __post_init__(self) -> None:
        """Freeze the columns and check that they have one length."""
        lengths = set()
        for field in fields(self):  # type: ignore[arg-type]  # every subclass is a dataclass
            value = getattr(self, field.name)
            if isinstance(value, Columns):
                continue
            column = np.ascontiguousarray(value)
            column.flags.writeable = False
            object.__setattr__(self, field.name, column)
            lengths.add(len(column))
        if len(lengths) > 1:
            msg = f"{type(self).__name__}: columns of different lengths {sorted(lengths)}"
            raise ValueError(msg)

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(getattr(self, fields(self)[0].name))  # type: ignore[arg-type]

    def __reduce__(self) -> tuple[Any, ...]:
        """Pickle through the constructor, so that copies are read-only again."""
        columns = {field.name: getattr(self, field.name) for field in fields(self)}  # type: ignore[arg-type]
        return _rebuild, (type(self), columns)

    def take(self, rows: Ints | npt.NDArray[np.bool_] | slice) -> Self:
        """Return a record of the chosen rows."""
        return type(self)(**{f.name: getattr(self, f.name)[rows] for f in fields(self)})  # type: ignore[arg-type]

    def digest(self) -> str:
        """Return the SHA-256 of names, types, shapes and bytes of all columns."""
        sha = hashlib.sha256()
        for field in fields(self):  # type: ignore[arg-type]
            column = getattr(self, field.name)
            if isinstance(column, Columns):
                sha.update(f"{field.name} {column.digest()}\n".encode())
                continue
            sha.update(f"{field.name} {column.dtype.str} {column.shape}\n".encode())
            sha.update(column.tobytes())
        return sha.hexdigest()


def _rebuild(kind: type[Columns], columns: dict[str, Any]) -> Columns:
    return kind(**columns)
