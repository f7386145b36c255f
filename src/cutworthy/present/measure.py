"""What readings tell, as a document and as a page."""

import difflib
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from math import ceil, floor, log10
from pathlib import Path
from typing import Any, Literal

from cutworthy.model.fit import Entry, Estimate, RuleFit, TimeOutcome
from cutworthy.model.machine import Machine
from cutworthy.model.reading import TimedRun
from cutworthy.model.timeline import Corners
from cutworthy.present.page import Line, Style
from cutworthy.present.plain import plain, typed
from cutworthy.present.sentences import few_keys
from cutworthy.present.show import Display, significant
from cutworthy.units import MM_PER_INCH

__all__ = ["card_entries", "differences", "time_document", "time_page"]

CLOSING = "This rests on your stopwatch and on the card. It does not watch the machine: eyes, ears, hand on the stop."
SOURCE = (
    "the likelihood of the times under each rule (docs/methods.md); which rules there are is common practice, no source"
)
LIKELY, SELDOM = 0.999, 0.01
Units = Literal["mm", "inch"]
RULES: Mapping[Corners, str] = {
    "stop": "it stops at the end of every move",
    "tolerance": "it rounds corners",
    "overlap": "it starts each move while the one before still brakes, which rounds corners more the faster it goes",
    "constant": "it does not slow down for corners",
}
MEANS: Mapping[Corners, str] = {
    "stop": "Short lines take long: let the program that makes the file use fewer, longer ones, or arcs.",
    "tolerance": "Sharper corners need more time; that is the trade.",
    "overlap": "For a sharp corner, lower the feed: half of it leaves a quarter of the rounding.",
    "constant": "Sharp corners jolt the motors: keep the feed low where there are many.",
}
LOOK_AGAIN = (
    "Look whether every knob stood at 100 %, and whether the speeds and accelerations on the card are those in the "
    "control. Then time {which} again; within a second is close enough."
)
NEXT_RUN = "Time run {run} too: {command} writes it. It takes {times}. Then add its time to {readings}."
NO_NEXT = "No test of ours parts them on this machine. Leave corners as it is: prove then counts with all of them."
ACCELERATION = "Look them up in the control, correct the card, and type this again."
ROUNDING = 1e-9
FITS = 2.0  # deviations; a run within them fits
SIGNS: Mapping[str, str] = {"change": "+", "leave": "+", "repeat": "?"}
OTHER_CARD = (
    "{name} was made for another state of this card. What is said here holds if the speeds and accelerations in the "
    "control were then as the card has them now."
)
GUESSED = "{keys}, which are only guesses on the card: look them up in the control, then type this again"


def time_document(
    outcome: TimeOutcome, runs: Sequence[TimedRun], machine: Machine, card: str, readings: Path, written: str | None
) -> dict[str, Any]:
    """Return what timed runs tell, with the keys of the contract; ``card`` as it is typed, ``written`` the new one."""
    best = outcome.fit.best
    says, do = _says(outcome, runs, machine, card, readings)
    known = outcome.why != "no-rule"
    entries = card_entries(outcome, machine.units, None, "")
    return {
        "kind": "time",
        "axis": None,
        "results": {
            "corner_rule": {
                **dict.fromkeys(("u", "dof", "low", "high", "unit")),
                "value": best.corners if known else None,
                "odds": {rule: significant(odds) for rule, odds in outcome.fit.odds.items()} if known else None,
            },
            "corner_tolerance_mm": _estimate(best.tolerance_mm) if known and best.tolerance_mm is not None else None,
            "block_rate_hz": _estimate(best.block_rate_hz) if known else None,
        },
        "decision": outcome.decision,
        "enter": {key.removeprefix("control."): _entered(value) for key, value in entries.items()} or None,
        "runs": [
            {"program": plain(run.name), "seconds": significant(run.seconds), "by_rule_s": significant(said)}
            for run, said in zip(runs, outcome.said_s, strict=True)
        ],
        "next_run": outcome.next_run,
        "other_card": [plain(name) for name in outcome.other_card],
        "rests_on": list(outcome.guessed),
        "written": written,
        "says": says,
        "do": do,
        "source": SOURCE,
        "working": _working(outcome, runs),
    }


def time_page(told: Mapping[str, Any], outcome: TimeOutcome, runs: Sequence[TimedRun], machine: Machine) -> list[Line]:
    """Return the page about timed runs: what they tell, what to do, how well it fits."""
    style: Style = "ask" if outcome.decision == "repeat" else "go"
    lines = [
        Line(text=f"[{SIGNS[outcome.decision]}] {outcome.decision.upper()}: {told['says']}", style=style, indent=4)
    ]
    lines += [Line(text=f"    {OTHER_CARD.format(name=name)}", style="ask", indent=4) for name in told["other_card"]]
    lines += [Line(text=f"    {told['do']}", indent=4), Line(text="")]
    nearest = "the nearest rule" if outcome.why == "no-rule" else "the likeliest rule"
    for run, said in zip(runs, outcome.said_s, strict=True):
        text = f"{plain(run.name)}: you read {_clock(run.seconds)}, by {nearest} it takes {_clock(said)}"
        lines.append(Line(text=f"Run        {text}", indent=11))
    if outcome.why not in {"no-rule", "one-run"}:
        rows = zip(("Rule", *["Else"] * len(outcome.fit.rules)), outcome.fit.rules, strict=False)
        lines += [Line(text=f"{head}       {RULES[rule.corners]}: {_chance(rule)}", indent=11) for head, rule in rows]
    if outcome.guessed:
        lines.append(Line(text=f"Rests on   {GUESSED.format(keys=few_keys(', '.join(outcome.guessed)))}", indent=11))
    for key, value in card_entries(outcome, machine.units, None, "").items():
        name = key.removeprefix("control.")
        guess = " (a guess)" if isinstance(value, Mapping) and value["origin"] == "guessed" else ""
        text = f'under [control]: {name} = "{_entered(value)}"{guess}'
        if value is None:
            text = f"nothing as {name}: what the card has is wrong, and the right one is not known"
        lines.append(Line(text=f"Enter      {text}", indent=11, style="strong"))
    return [*lines, Line(text=""), Line(text=CLOSING, style="strong")]


def card_entries(outcome: TimeOutcome, units: Units, today: date | None, readings: str) -> dict[str, Any]:
    """Return what is to stand on the card, as it stands there, by key; None for what is to go."""
    return {entry.key: _on_card(entry, units, today, readings) for entry in outcome.enter}


def _on_card(entry: Entry, units: Units, today: date | None, readings: str) -> Any:  # noqa: ANN401 - a word or a table
    if entry.value is None or isinstance(entry.value, str):
        return entry.value
    unit, factor = ("in", 1 / MM_PER_INCH) if entry.unit == "mm" and units == "inch" else (entry.unit, 1.0)
    table: dict[str, Any] = {
        "value": f"{_short(factor * entry.value, up=False)} {unit}",
        "plus_minus": f"{_short(factor * entry.plus_minus, up=True)} {unit}",
        "origin": "guessed" if entry.is_guess else "measured",
    }
    if today is not None:
        table |= {"date": today, "with": f"timed runs, {readings}"}
    return table


def _short(value: float, *, up: bool) -> str:
    """Return a number to three digits, as people write it; ``up``: rounded away from 0."""
    step = 10.0 ** (floor(log10(value)) - 2) if value > 0 else 1.0
    rounded = (ceil(value / step - ROUNDING) if up else round(value / step)) * step
    return f"{rounded:.12f}".rstrip("0").rstrip(".")


def differences(old: str, new: str) -> list[str]:
    """Return the lines of a text that are gone, with a minus, and those that are new, with a plus."""
    rows = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [plain(row) for row in rows if row[:1] in "+-" and row[:3] not in ("---", "+++")]


def _entered(value: Any) -> Any:  # noqa: ANN401 - as on a card
    return value["value"] if isinstance(value, Mapping) else value


def _estimate(estimate: Estimate) -> dict[str, Any]:
    return {
        "value": significant(estimate.value),
        "u": significant(estimate.u),
        "dof": None,
        "low": significant(estimate.low),
        "high": significant(estimate.high),
        "unit": estimate.unit,
    }


def _says(
    outcome: TimeOutcome, runs: Sequence[TimedRun], machine: Machine, card: str, readings: Path
) -> tuple[str, str]:
    """Return what the runs say about the control, and what to do."""
    best = outcome.fit.best
    if outcome.why == "no-rule":
        return _no_rule(outcome, runs)
    if outcome.why == "acceleration":
        percent = round(100 * (best.acceleration_factor - 1))
        off = f"about {abs(percent)} % {'lower' if percent < 0 else 'higher'} than the card says"
        return f"These times fit a rule only if the accelerations of X and Y are {off}.", ACCELERATION
    if outcome.why == "one-run":
        says = "One run alone cannot tell how corners are taken and how many lines a second the control takes."
        return says, _next(outcome, card, readings)
    if outcome.why == "rules-alike":
        rules = "; or ".join(RULES[rule.corners] for rule in outcome.alike)
        return f"These runs fit {len(outcome.alike)} rules: {rules}.", _next(outcome, card, readings)
    rounding = f", {_span(best.tolerance_mm, Display(machine.units))}" if best.tolerance_mm is not None else ""
    says = f"At corners your control does this: {RULES[best.corners]}{rounding}. {_rate(best)}"
    if outcome.decision == "leave":
        return says, f"The card says so already. {MEANS[best.corners]}"
    return says, f"Enter it on the card, or let --write make the new card. {MEANS[best.corners]}"


def _next(outcome: TimeOutcome, card: str, readings: Path) -> str:
    """Return which run to time next and how it is made, or that none would tell more."""
    if outcome.next_run is None:
        return NO_NEXT
    times = "; ".join(
        f"about {_clock(seconds)} if {RULES[rule.corners]}"
        for rule, seconds in zip(outcome.alike, outcome.next_s, strict=True)
    )
    command = f"cutworthy trial timing {typed(card)} --run {outcome.next_run} --to {typed(str(readings.parent))}"
    return NEXT_RUN.format(run=outcome.next_run, command=command, times=times, readings=plain(str(readings)))


def _no_rule(outcome: TimeOutcome, runs: Sequence[TimedRun]) -> tuple[str, str]:
    """Return which runs no rule explains, and what to do."""
    rows = list(zip(runs, outcome.said_s, outcome.deviations_s, strict=True))
    off = [row for row in rows if abs(row[1] - row[0].seconds) > FITS * row[2]] or rows
    told = "; ".join(
        f"{plain(run.name)}: you read {_clock(run.seconds)}, the nearest rule gives {_clock(said)}"
        for run, said, _ in off
    )
    which = "that one" if len(off) == 1 else "them"
    return f"None of the four rules explains these times. {told}.", LOOK_AGAIN.format(which=which)


def _span(estimate: Estimate, display: Display) -> str:
    low, high = (None if each is None else display.fine_length(each) for each in (estimate.low, estimate.high))
    if estimate.value is not None:
        return f"by about {display.fine_length(estimate.value)} (from {low} to {high})"
    if high is not None:
        return f"by at most {high}"
    return f"by at least {low}" if low is not None else "by how much cannot be told from these runs"


def _rate(rule: RuleFit) -> str:
    rate = rule.block_rate_hz
    if rate.value is not None:
        return f"It takes about {rate.value:.0f} lines a second (from {rate.low:.0f} to {rate.high:.0f})."
    if rate.low is not None:
        return f"It takes at least {rate.low:.0f} lines a second; these runs cannot show more."
    return "How many lines a second it takes cannot be told from these runs."


def _chance(rule: RuleFit) -> str:
    """Return how likely a rule is."""
    if rule.odds >= LIKELY:
        return "more than 999 chances in 1000"
    return f"{min(99, round(100 * rule.odds))} chances in 100" if rule.odds >= SELDOM else "less than 1 chance in 100"


def _clock(seconds: float) -> str:
    """Return a time as a stopwatch shows it, with tenths."""
    minutes, rest = divmod(round(seconds, 1), 60)
    return f"{int(minutes)} min {rest:.1f} s" if minutes else f"{rest:.1f} s"


def _working(outcome: TimeOutcome, runs: Sequence[TimedRun]) -> list[dict[str, Any]]:
    """Return for each run what was read, what the likeliest rule says, and how much they may differ."""

    def steps() -> Iterator[dict[str, Any]]:
        rows = zip(runs, outcome.said_s, outcome.deviations_s, strict=True)
        for run, said, deviation in rows:
            yield {
                "name": f"misfit of {plain(run.name)}",
                "formula": "((said - read) / deviation)^2",
                "inputs": {
                    "said": {"value": significant(said), "unit": "s", "origin": "computed"},
                    "read": {"value": significant(run.seconds), "unit": "s", "origin": "measured"},
                    "deviation": {"value": significant(deviation), "unit": "s", "origin": "guessed"},
                },
                "value": significant(((said - run.seconds) / deviation) ** 2),
                "unit": "",
                "source": SOURCE,
            }

    return list(steps())
