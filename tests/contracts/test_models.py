"""Every noun is a frozen record with named fields, and every column's record compares by digest only."""

import dataclasses
import importlib
import pkgutil

import pytest

import cutworthy.model
from cutworthy.model.columns import Columns


def _records() -> list[type]:
    modules = [
        importlib.import_module(module.name)
        for module in pkgutil.iter_modules(cutworthy.model.__path__, "cutworthy.model.")
    ]
    return [
        value
        for module in modules
        for value in vars(module).values()
        if isinstance(value, type) and dataclasses.is_dataclass(value) and value.__module__ == module.__name__
    ]


RECORDS = _records()


def test_there_are_records() -> None:
    assert {"Machine", "Job", "Program", "Moves", "Finding", "Outcome"} <= {record.__name__ for record in RECORDS}


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_a_noun_is_frozen_slotted_and_named(record: type) -> None:
    assert record.__dataclass_params__.frozen  # type: ignore[attr-defined]
    assert "__slots__" in vars(record)
    assert [field.name for field in dataclasses.fields(record) if not field.kw_only] == []


@pytest.mark.parametrize("record", [r for r in RECORDS if issubclass(r, Columns)], ids=lambda r: r.__name__)
def test_columns_are_not_compared_cell_by_cell(record: type) -> None:
    assert not record.__dataclass_params__.eq  # type: ignore[attr-defined]
