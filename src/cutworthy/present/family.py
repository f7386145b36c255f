"""The factors that give a mistake away: an axis goes so many times as far as it was asked to."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isclose

from cutworthy.model.machine import Axis, Drive
from cutworthy.model.settings import AxisSettings
from cutworthy.present.sums import digits
from cutworthy.present.touch import words
from cutworthy.units import MM_PER_INCH

__all__ = ["Telltale", "family"]

# Parts that are taken for one another: what the card has, what may be there instead, [mm] both.
LEADS = (
    (12.7, 12.0, "part-12-for-half-inch"),
    (12.0, 12.7, "part-half-inch-for-12"),
    (10.0, 12.0, "part-12-for-10"),
    (10.0, 5.0, "part-5-for-10"),
)
TEETH = ((5.08, 5.0, "part-5-mm-for-fifth-inch"),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Telltale:
    """If ``axes`` go ``factor`` times as far as they were asked to, it ``means`` this."""

    factor: str
    axes: str
    means: str


def family(axes: Iterator[tuple[Axis, AxisSettings]]) -> tuple[Telltale, ...]:
    """Return what each factor would mean on this machine, the longest way first, axes with the same row together."""
    found: dict[tuple[float, str], list[str]] = {}
    for axis, settings in axes:
        if settings.steps is not None and axis.drive is not None:
            for factor, means in (*_switches(axis), *_drive(axis.drive), *_units()):
                found.setdefault((factor, means), []).append(axis.name.upper())
    return tuple(
        Telltale(factor=digits(factor, 3), axes=" ".join(names), means=means)
        for (factor, means), names in sorted(found.items(), key=lambda row: -row[0][0])
    )


def _means(key: str, **fields: object) -> str:
    return str(words()["family"][key].format(**fields))


def _switches(axis: Axis) -> Iterator[tuple[float, str]]:
    microsteps = axis.driver.microsteps if axis.driver else None
    if microsteps is None:
        return
    if microsteps % 2 == 0:
        yield 2.0, _means("microsteps-double", half=microsteps // 2, microsteps=microsteps)
    yield 0.5, _means("microsteps-half", double=microsteps * 2, microsteps=microsteps)


def _drive(drive: Drive) -> Iterator[tuple[float, str]]:
    if drive.starts is not None and drive.starts > 1 and drive.pitch_mm is not None:
        yield float(drive.starts), _means("pitch-for-lead", starts=drive.starts)
    reduction = drive.reduction.value
    if reduction != 1:
        yield 1 / reduction, _means("reduction-forgotten", reduction=digits(reduction, 4))
    lead, tooth, teeth = drive.lead_mm, drive.tooth_pitch_mm, drive.teeth
    for number, parts in ((lead, LEADS), (tooth, TEETH)):
        for has, instead, key in parts:
            if number is not None and isclose(number.value, has, rel_tol=1e-6):
                yield instead / has, _means(key)
    if drive.kind == "belt" and teeth is not None:
        yield (teeth + 1) / teeth, _means("tooth-more", more=teeth + 1, teeth=teeth)
        yield (teeth - 1) / teeth, _means("tooth-fewer", fewer=teeth - 1, teeth=teeth)


def _units() -> Iterator[tuple[float, str]]:
    yield MM_PER_INCH, _means("inch-for-mm")
    yield 1 / MM_PER_INCH, _means("mm-for-inch")
