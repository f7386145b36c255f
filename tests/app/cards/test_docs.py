"""The guide, the starter cards and the table of bands say the same as the code."""

import math
import re
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, get_args

import pytest

from cutworthy.app.cards import card_keys, job_from_text, machine_from_text, starter
from cutworthy.app.cards.amounts import Amount, Several, sort
from cutworthy.app.cards.job import JobFile
from cutworthy.app.cards.machine import MachineFile
from cutworthy.app.cards.tables import Table, table_in
from cutworthy.errors import CardError
from cutworthy.model.quantity import Origin
from cutworthy.reference.tables import limits_file
from cutworthy.units import Kind

GUIDE = (Path(__file__).parents[3] / "docs" / "cards.md").read_text(encoding="utf-8")
KINDS = ("machine", "job")
Read = Callable[[str, Path], Any]

# The unit in which the guide shows a kind: its name and how many of it are one of ours.
SHOWN = {
    Kind.LENGTH: ("mm", 1),
    Kind.SPEED: ("mm/min", 60),
    Kind.ACCELERATION: ("mm/s^2", 1),
    Kind.FORCE: ("N", 1),
    Kind.TORQUE: ("N*m", 1),
    Kind.MASS: ("kg", 1),
    Kind.INERTIA: ("g*cm^2", 1e7),
    Kind.STIFFNESS: ("N/um", 1e-3),
    Kind.DENSITY: ("kg/m^3", 1),
    Kind.VOLTAGE: ("V", 1),
    Kind.CURRENT: ("A", 1),
    Kind.RESISTANCE: ("ohm", 1),
    Kind.INDUCTANCE: ("mH", 1e3),
    Kind.POWER: ("W", 1),
    Kind.TIME: ("s", 1),
    Kind.FREQUENCY: ("Hz", 1),
    Kind.ROTATION: ("rpm", 1),
    Kind.ANGLE: ("deg", 180 / math.pi),
    Kind.RATIO: ("%", 100),
    None: ("", 1),
}


def _readers(annotation: object) -> Iterator[Any]:
    yield from getattr(annotation, "__metadata__", ())
    for inner in get_args(annotation):
        yield from _readers(inner)


def _sorts(table: type[Table], path: str = "") -> Iterator[tuple[str, str]]:
    """Yield each sort with a key that it belongs to, unless its band stands elsewhere."""
    for key, field in table.by_key().items():
        place = f"{path}{key}".replace("axes.x.", "axes.")
        if inner := table_in(field.annotation):
            yield from _sorts(inner, f"{place}.") if key not in ("y", "z") else ()
        for reader in (*field.metadata, *_readers(field.annotation)):
            if isinstance(reader, Amount):
                yield reader.name, place
            if isinstance(reader, Several):
                yield from ((name, f"{place}") for name in dict.fromkeys(reader.names))


def _number(value: float) -> str:
    return f"{float(f'{value:.3g}'):f}".rstrip("0").rstrip(".")


def _band(band: float | tuple[float, float], unit: str, factor: float) -> str:
    if isinstance(band, tuple):
        low, high = (_number((end - 1) * 100) for end in band)
        return f"±{high} %" if low == f"-{high}" else f"{low} to +{high} %".replace("+0 %", "0 %")
    return f"±{_number(band * factor)} {unit}" if band else "exact"


def rows() -> Iterator[str]:
    """Yield the rows of the guide's table of bands."""
    keys: dict[str, dict[str, None]] = {}
    for name, key in (*_sorts(MachineFile), *_sorts(JobFile)):
        keys.setdefault(name, {})[f"`{key}`"] = None
    for name in limits_file()["bands"]:
        ours = sort(name)
        unit, factor = SHOWN[ours.kind]
        bands = [_band(ours.bands[origin], unit, factor) + "*" * (origin is ours.plain) for origin in Origin]
        least, most = _number(ours.least * factor), _number(ours.most * factor)
        yield f"| {' '.join(keys[name])} | {' | '.join(bands)} | {least} to {most} {unit}".rstrip() + " |"


def test_the_guide_has_every_band() -> None:
    assert [row for row in rows() if row not in GUIDE] == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_stands_in_the_guide_and_in_the_starter(kind: str) -> None:
    text = starter(kind)
    for key in card_keys(kind):
        word = re.compile(rf"\b{key.path[-1]}\b")
        assert word.search(text), f"{key.path} is not in the starter card"
        assert re.search(rf"[`.\[]{key.path[-1]}[`.\]]", GUIDE), f"{key.path} is not in the guide"


def _all_on(text: str) -> str:
    return re.sub(r"(?m)^#(?=[a-z\[])", "", text)


FILLED = {
    "program": '"plaque.nc"',
    "machine": '"plover.toml"',
    "material": '"white oak"',
    "size": '["300 mm", "140 mm", "18 mm"]',
    "x": '"left"',
    "y": '"front"',
    "z": '"top"',
    "kind": '"flat"',
    "diameter": '"6 mm"',
    "flutes": "2",
    "stickout": '"35 mm"',
    "name": '"Plover"',
    "units": '"mm"',
    "travel": '"820 mm"',
    "speed": '"3000 mm/min"',
    "acceleration": '"400 mm/s^2"',
}


def _filled(text: str) -> str:
    return re.sub(r'(?m)^(\w+) = (?:"\?"|\[[" ?,]+\])', lambda found: f"{found[1]} = {FILLED[found[1]]}", text)


@pytest.mark.parametrize(("kind", "load"), [("machine", machine_from_text), ("job", job_from_text)])
def test_a_starter_loads_when_filled_in(kind: str, load: Read) -> None:
    text = starter(kind)
    assert load(_filled(text), Path("card.toml")).record
    full = load(_filled(_all_on(text)), Path("card.toml"))
    says_nothing = {remark.key for remark in full.remarks}
    # The one bit of the starter is flat, so that what belongs to other kinds is not used.
    assert says_nothing == ({"bits[1].corner_radius", "bits[1].angle", "bits[1].tip"} if kind == "job" else set())


@pytest.mark.parametrize(("kind", "load"), [("machine", machine_from_text), ("job", job_from_text)])
def test_an_unfilled_starter_names_exactly_its_marks(kind: str, load: Read) -> None:
    text = starter(kind)
    marked = [i for i, line in enumerate(text.splitlines(), 1) if '"?"' in line and not line.startswith("#")]
    with pytest.raises(CardError) as caught:
        load(text, Path("card.toml"))
    assert sorted({mistake.line for mistake in caught.value.mistakes}) == marked
    assert all("not filled in yet" in mistake.wrong for mistake in caught.value.mistakes)


def _leaves(table: object, path: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
    if isinstance(table, dict):
        return {leaf for key, value in table.items() for leaf in _leaves(value, (*path, key))}
    if isinstance(table, list) and isinstance(table[0], dict):
        return _leaves(table[0], path)
    return {path}


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_has_exactly_the_required_keys_on(kind: str) -> None:
    keys = card_keys(kind)
    optional = {key.path for key in keys if not key.required}
    tables = {key.path[:-1] for key in keys}
    required = {key.path for key in keys if not any(key.path[:i] in optional for i in range(1, len(key.path) + 1))}
    travels = {("axes", axis, "travel") for axis in "xyz"} if kind == "machine" else set()  # it, or range
    assert _leaves(tomllib.loads(starter(kind))) == required - tables | travels


def test_starters_are_plain_text() -> None:
    for kind in KINDS:
        text = starter(kind)
        assert text.isascii()
        assert tomllib.loads(text)
