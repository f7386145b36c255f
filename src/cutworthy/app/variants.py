"""Machines that nobody has built yet: what if, what to buy next, and what others may build."""

import math
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.app.cards import MachineCard, changed_machine, value_text
from cutworthy.errors import InputError
from cutworthy.model.findings import Finding
from cutworthy.model.machine import AXES, Axis, AxisName, Machine
from cutworthy.model.program import Level
from cutworthy.model.variants import Change, Upgrade, Upgrades, Variant, WhatIf
from cutworthy.present.settings_document import settings_document
from cutworthy.present.variants import differing
from cutworthy.units import Kind, express, parse
from cutworthy.workflows.settle import SettingsOutcome

__all__ = ["Settle", "Tried", "holding_back", "upgrades", "variations", "what_if"]

Settle = Callable[[Machine], SettingsOutcome]

SAME_DIGITS = 9  # to which two axes hold a machine back alike
NOTHING_PCT = 0.05  # our choice: a gain below it is none
NEXT = 1 + 1e-9  # a size that is larger by less is the same size
GRAVE = (Level.NOTE, Level.ASK, Level.NO_GO)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """A machine as it is, and as it would be; ``told``: what there is to say about the change."""

    card: MachineCard
    before: SettingsOutcome
    after: SettingsOutcome
    told: WhatIf


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spec:
    """A row of ``upgrades.toml``."""

    key: str
    source: str
    to: tuple[str, ...] = ()
    step: tuple[int, ...] = ()
    times: tuple[float, ...] = ()
    otherwise: str | None = None
    kind: Kind | None = None
    sizes: str | None = None
    whole: bool = False
    axes: tuple[AxisName, ...] = AXES
    drives: tuple[str, ...] = ()
    threads: tuple[str, ...] = ()
    most: str | None = None
    others: str | None = None
    common: bool = False


def what_if(card: MachineCard, changes: Mapping[str, str], settle: Settle) -> Tried:
    """Return what a machine allows before and after changes, and which numbers are no longer the same.

    Steps that were right before follow the parts, unless they are changed themselves.

    Parameters
    ----------
    card
        The machine card; neither it nor its file is changed.
    changes
        As for :func:`cutworthy.app.cards.changed_machine`.
    settle
        Works out the numbers of a machine.

    Raises
    ------
    InputError
        With all that is wrong with the changes.
    """
    changed = changed_machine(card, changes)
    before, after = settle(card.record), settle(changed.record)
    steps = tuple(step for step in _steps(card, before, after) if _follows(step, changes, before))
    if steps:
        changed = changed_machine(card, {**changes, **{step.key: step.to for step in steps}})
        after = settle(changed.record)
    told = WhatIf(
        changes=tuple(_change(card, key, to) for key, to in changes.items()),
        others=steps,
        settings=after.settings,
        findings=after.findings,
        differences=differing(_numbers(before), _numbers(after)),
        remarks=tuple((each.key, each.says) for each in changed.remarks if each not in card.remarks),
        brings=_graver(after, before),
        cures=_graver(before, after),
    )
    return Tried(card=changed, before=before, after=after, told=told)


def upgrades(card: MachineCard, settle: Settle) -> Upgrades:
    """Return single changes by what they buy for the axis that holds the machine back, best first.

    Each is worked out by settling the whole machine again with the part changed, and with the steps to
    enter that belong to it. What brings a no-go is left out, and so is what buys nothing, unless
    everybody asks for it.

    Parameters
    ----------
    card
        The machine card.
    settle
        Works out the numbers of a machine.
    """
    before = settle(card.record)
    axis = holding_back(before)
    if axis is None:
        return Upgrades()
    speed = before.settings.axes[axis].speed_mm_s
    rows = []
    for spec in _specs("upgrades"):
        for change, others in _changes(spec, card, axis):
            row = _upgrade(axis, _run(card, change, others, before, settle), before)
            if row is not None and (_gain(row) > NOTHING_PCT or spec.common):
                rows.append(row)
    return Upgrades(
        axis=axis,
        entered_mm_s=speed.entered,
        advised_mm_s=speed.advised or 0.0,
        ruled_by=speed.ruled_by or "",
        rows=tuple(sorted(rows, key=lambda row: (-_gain(row), -row.advised_mm_s))),
    )


def variations(card: MachineCard, settle: Settle) -> tuple[Variant, ...]:
    """Return each axis as it is and with other parts, for those who build the machine from its plans.

    The steps to enter follow the parts. What no card could say, as a span beyond all sense, is left out.

    Parameters
    ----------
    card
        The machine card.
    settle
        Works out the numbers of a machine.
    """
    before = settle(card.record)
    rows = []
    for axis in AXES:
        rows.append(_variant(axis, None, (), before, before))
        for spec in _specs("variations"):
            for change, others in _changes(spec, card, axis):
                run = _run(card, change, others, before, settle)
                rows += [] if run is None else [_variant(axis, run[0], run[1], run[2], before)]
    return tuple(rows)


def holding_back(outcome: SettingsOutcome) -> AxisName | None:
    """Return the axis with the least advised speed over the entered one, of several the one with the least torque left.

    None where no advised speed is known.
    """

    def room(axis: AxisName) -> tuple[float, float]:
        found = outcome.settings.axes[axis]
        ratio = (found.speed_mm_s.advised or 0.0) / found.speed_mm_s.entered
        return float(f"{ratio:.{SAME_DIGITS}g}"), found.torques.cautious_ratio if found.torques else math.inf

    known = [axis for axis in AXES if outcome.settings.axes[axis].speed_mm_s.advised is not None]
    return min(known, key=room, default=None)


Run = tuple[Change, tuple[Change, ...], SettingsOutcome]


def _run(
    card: MachineCard, change: Change, others: tuple[Change, ...], before: SettingsOutcome, settle: Settle
) -> Run | None:
    """Return the outcome with changes, and with the steps that belong to them; None where a card may not say so."""
    changes = {each.key: each.to for each in (change, *others)}
    try:
        after = settle(changed_machine(card, changes).record)
        steps = _steps(card, before, after)
        if steps:
            more = {each.key: each.to for each in steps}
            after = settle(changed_machine(card, changes | more).record)
    except InputError:
        return None
    return change, (*others, *steps), after


def _steps(card: MachineCard, before: SettingsOutcome, after: SettingsOutcome) -> tuple[Change, ...]:
    """Return the steps to enter on each axis where they are no longer those of before."""
    found = []
    for name, axis in after.settings.axes.items():
        entered, old = card.record.axes[name].steps_per_mm, before.settings.axes[name].steps
        if entered is None or axis.steps is None or (old is not None and axis.steps.per_mm == old.per_mm):
            continue
        exact = axis.steps.per_inch if entered.key.endswith("per_inch") else axis.steps.per_mm
        found.append(_change(card, entered.key, f"{float(exact):.10g}"))
    return tuple(found)


def _follows(step: Change, changes: Mapping[str, str], before: SettingsOutcome) -> bool:
    """Return whether the steps of an axis were right, and are not changed by whoever asks."""
    name = next(axis for axis in AXES if step.key.startswith(f"axes.{axis}."))
    steps = before.settings.axes[name].steps
    own = (f"axes.{name}.steps_per_mm", f"axes.{name}.steps_per_inch")
    return steps is not None and steps.slip is None and not any(key in changes for key in own)


def _upgrade(axis: AxisName, run: Run | None, before: SettingsOutcome) -> Upgrade | None:
    """Return what a change buys; None where it cannot be told, or where the change brings a no-go."""
    if run is None:
        return None
    change, others, after = run
    old, new = (outcome.settings.axes[axis].speed_mm_s for outcome in (before, after))
    brings = _graver(after, before)
    if old.advised is None or new.advised is None or new.ruled_by is None:
        return None
    if any(finding.level is Level.NO_GO for finding in brings):
        return None
    return Upgrade(
        change=change,
        others=others,
        gain_pct=_gain_pct(old.advised, new.advised),
        used_pct=_gain_pct(min(old.advised, old.entered), min(new.advised, new.entered)),
        advised_mm_s=new.advised,
        ruled_by=new.ruled_by,
        brings=brings,
    )


def _gain_pct(before: float, after: float) -> float | None:
    """Return the gain from a speed to another; None where there was none before."""
    if before == after:
        return 0.0
    return 100 * (after / before - 1) if before else None


def _gain(row: Upgrade) -> float:
    """Return a gain to compare with others: nothing is more than a speed where there was none."""
    return math.inf if row.gain_pct is None else row.gain_pct


def _variant(
    axis: AxisName, change: Change | None, others: tuple[Change, ...], outcome: SettingsOutcome, before: SettingsOutcome
) -> Variant:
    found = outcome.settings.axes[axis]
    return Variant(
        axis=axis,
        change=change,
        entered_mm_s=found.speed_mm_s.entered,
        steps_per_mm=found.steps.per_mm if found.steps else None,
        steps_per_inch=found.steps.per_inch if found.steps else None,
        advised_mm_s=found.speed_mm_s.advised,
        ruled_by=found.speed_mm_s.ruled_by,
        whip_mm_s=found.speed_mm_s.limits.get("whip"),
        others=others,
        brings=tuple(each for each in _graver(outcome, before) if each.about == axis),
    )


def _graver(outcome: SettingsOutcome, other: SettingsOutcome) -> tuple[Finding, ...]:
    """Return what is found in an outcome, notes aside, and not as grave in the other."""
    known = {
        (each.id, each.about, level)
        for each in other.findings
        for level in GRAVE
        if GRAVE.index(each.level) >= GRAVE.index(level)
    }
    return tuple(
        each
        for each in outcome.findings
        if each.level is not Level.NOTE and (each.id, each.about, each.level) not in known
    )


def _numbers(outcome: SettingsOutcome) -> dict[str, Any]:
    whole = settings_document(outcome.machine, outcome.settings, ())
    return {key: whole[key] for key in ("axes", "supply")}


@cache
def _file() -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.reference") / "upgrades.toml").read_text(encoding="utf-8"))


@cache
def _specs(name: str) -> tuple[_Spec, ...]:
    """Return the rows of a table of ``upgrades.toml``; a TypeError is our own mistake."""
    return tuple(_spec(row) for row in _file()[name])


def _spec(row: Mapping[str, Any]) -> _Spec:
    values: dict[str, Any] = {key: tuple(raw) if isinstance(raw, list) else raw for key, raw in row.items()}
    return _Spec(**values | ({"kind": Kind(values["kind"])} if "kind" in values else {}))


def _changes(spec: _Spec, card: MachineCard, axis: AxisName) -> Iterator[tuple[Change, tuple[Change, ...]]]:
    """Yield the changes that a row of the file makes on an axis of a machine, each with what changes with it."""
    key = spec.key.replace("*", axis)
    said = _said(card, key) or spec.otherwise
    if said is None or not _applies(spec, card.record.axes[axis]):
        return
    if spec.to:
        yield from ((Change(key=key, was=said, to=to), ()) for to in spec.to if to != said)
        return
    old, unit = _number(said, spec.kind)
    for new, shown in _values(spec, old, unit, card):
        if new <= _most(spec, card) and not (spec.whole and not new.is_integer()):
            yield Change(key=key, was=said, to=_shown(new, spec.kind, shown)), _others(spec, card, axis, old, new)


def _applies(spec: _Spec, axis: Axis) -> bool:
    drive = axis.drive
    return (
        axis.name in spec.axes
        and (not spec.drives or (drive is not None and drive.kind in spec.drives))
        and (not spec.threads or (drive is not None and drive.thread in spec.threads))
    )


def _said(card: MachineCard, key: str) -> str | None:
    """Return what stands under a key, of a lead what pitch and starts make."""
    text = value_text(card, key)
    if text is not None or not key.endswith(".lead"):
        return text
    pitch, starts = (value_text(card, f"{key.removesuffix('lead')}{part}") for part in ("pitch", "starts"))
    if pitch is None or starts is None:
        return None
    value, unit = _number(pitch, Kind.LENGTH)
    return _shown(value * int(starts), Kind.LENGTH, unit)


def _values(spec: _Spec, old: float, unit: str, card: MachineCard) -> Iterator[tuple[float, str]]:
    """Yield the new values of a number, in our units, each with the unit to show it in."""
    if spec.sizes is None:
        yield from ((old * times, unit) for times in spec.times)
        return
    shown, sizes = _sizes(spec, unit, card)
    above = [size for size in sizes if size > old * NEXT]
    below = [size for size in reversed(sizes) if size * NEXT < old]
    for step in spec.step:
        side = above if step > 0 else below
        yield from ((size, shown) for size in side[abs(step) - 1 : abs(step)])
    for times in spec.times:
        side = above if times > 1 else below
        if side:
            yield min(side, key=lambda size: abs(math.log(size / (old * times)))), shown


def _sizes(spec: _Spec, unit: str, card: MachineCard) -> tuple[str, list[float]]:
    """Return the sizes of a list in our units, rising, and the unit that they are counted in."""
    rows: dict[str, list[float]] = {name: row for name, row in _file()["sizes"][spec.sizes].items() if name != "source"}
    own = "in" if card.record.units == "inch" else "mm"
    shown = next((name for name in (unit, own) if name in rows), next(iter(rows)))
    assert spec.kind is not None
    return shown, sorted(parse(f"{size} {shown}", spec.kind).value for size in rows[shown])


def _most(spec: _Spec, card: MachineCard) -> float:
    """Return the most that a value may be, by the labels of all axes."""
    texts = (value_text(card, f"axes.{axis}.{spec.most}") for axis in AXES if spec.most)
    return min((_number(text, spec.kind)[0] for text in texts if text is not None), default=math.inf)


def _others(spec: _Spec, card: MachineCard, axis: AxisName, old: float, new: float) -> tuple[Change, ...]:
    """Return what changes with a number, as far as it is on the card."""
    found = []
    for row in _file()["others"][spec.others]["keys"] if spec.others else ():
        key, kind = row["key"].replace("*", axis), Kind(row["kind"])
        text = value_text(card, key)
        if text is not None:
            value, unit = _number(text, kind)
            then = value + new - old if row.get("grows") else value * (new / old) ** row["power"]
            found.append(_change(card, key, _shown(then, kind, unit)))
    return tuple(found)


def _change(card: MachineCard, key: str, to: str) -> Change:
    return Change(key=key, was=value_text(card, key), to=to)


def _number(text: str, kind: Kind | None) -> tuple[float, str]:
    """Return a number of a card in our unit, and the unit that it is written in."""
    if kind is None:
        return float(text), ""
    parsed = parse(text, kind)
    return parsed.value, parsed.unit


def _shown(value: float, kind: Kind | None, unit: str) -> str:
    return f"{value:.6g}" if kind is None else f"{express(value, kind, unit):.6g} {unit}"
