"""What readings tell, as a document and as a page."""

import difflib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from cutworthy.model.fit import Estimate, RuleFit, TimeOutcome
from cutworthy.model.machine import Machine
from cutworthy.model.reading import TimedRun
from cutworthy.model.timeline import Corners
from cutworthy.present.page import Line, Style
from cutworthy.present.plain import plain
from cutworthy.present.show import Display, significant
from cutworthy.units import MM_PER_INCH

__all__ = ["differences", "entries_of", "time_document", "time_page"]

CLOSING = "This rests on your stopwatch and on the card. It does not watch the machine: eyes, ears, hand on the stop."
SOURCE = (
    "the likelihood of the times under each rule (docs/methods.md); which rules there are is common practice, no source"
)
LIKELY, SELDOM = 0.999, 0.01
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
NEXT_RUN = "Time run {run} too: cutworthy trial timing {card} --run {run} writes it. It takes {times}."
FITS = 2.0  # deviations; a run within them fits
SIGNS: Mapping[str, str] = {"change": "+", "leave": "+", "repeat": "?"}
OTHER_CARD = (
    "{name} was made for another state of this card. What is said here holds if the speeds and accelerations in the "
    "control were then as the card has them now."
)
GUESSED = "{keys}, which are only guesses on the card: look them up in the control, then type this again"


def time_document(
    outcome: TimeOutcome, runs: Sequence[TimedRun], machine: Machine, card: str, written: str | None
) -> dict[str, Any]:
    """Return what timed runs tell, with the keys of the contract; ``card`` as it is typed, ``written`` the new one."""
    best = outcome.fit.best
    says, do = _says(outcome, runs, machine, card)
    entries = entries_of(outcome, machine, None, "")
    return {
        "kind": "time",
        "axis": None,
        "results": {
            "corner_rule": {
                **dict.fromkeys(("u", "dof", "low", "high", "unit")),
                "value": best.corners,
                "odds": {rule: significant(odds) for rule, odds in outcome.fit.odds.items()},
            },
            "corner_tolerance_mm": None if best.tolerance_mm is None else _estimate(best.tolerance_mm),
            "block_rate_hz": _estimate(best.block_rate_hz),
        },
        "decision": outcome.decision,
        "enter": {key.removeprefix("control."): _entered(value) for key, value in entries.items()} or None,
        "runs": [
            {"program": plain(run.name), "seconds": significant(run.seconds), "by_rule_s": significant(said)}
            for run, said in zip(runs, best.seconds, strict=True)
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
    best = outcome.fit.best
    lines = [
        Line(text=f"[{SIGNS[outcome.decision]}] {outcome.decision.upper()}: {told['says']}", style=style, indent=4)
    ]
    lines += [Line(text=f"    {OTHER_CARD.format(name=name)}", style="ask", indent=4) for name in told["other_card"]]
    lines += [Line(text=f"    {told['do']}", indent=4), Line(text="")]
    for run, said in zip(runs, best.seconds, strict=True):
        text = f"{plain(run.name)}: you read {_clock(run.seconds)}, by the likeliest rule it takes {_clock(said)}"
        lines.append(Line(text=f"Run        {text}", indent=11))
    lines.append(Line(text=f"Rule       {RULES[best.corners]}: {_chance(best)}", indent=11))
    lines += [
        Line(text=f"Else       {RULES[rule.corners]}: {_chance(rule)}", indent=11) for rule in outcome.fit.rules[1:]
    ]
    if outcome.guessed:
        lines.append(Line(text=f"Rests on   {GUESSED.format(keys=', '.join(outcome.guessed))}", indent=11))
    for key, value in entries_of(outcome, machine, None, "").items():
        name = key.removeprefix("control.")
        if value is None:
            text = f"nothing as {name}: what the card has is wrong, and how many more it takes is not known"
        else:
            guess = " (a guess)" if isinstance(value, Mapping) and value["origin"] == "guessed" else ""
            text = f'under [control]: {name} = "{_entered(value)}"{guess}'
        lines.append(Line(text=f"Enter      {text}", indent=11, style="strong"))
    return [*lines, Line(text=""), Line(text=CLOSING, style="strong")]


def entries_of(outcome: TimeOutcome, machine: Machine, today: date | None, readings: str) -> dict[str, Any]:
    """Return what is to stand on the card, by key, None for what is to go; nothing while nothing is to change."""
    best, rate = outcome.fit.best, outcome.fit.best.block_rate_hz
    if outcome.decision != "change":
        return {}
    entries: dict[str, Any] = {"control.corners": best.corners}
    note = _Note(today=today, readings=readings, guessed=bool(outcome.guessed))
    if best.tolerance_mm is not None:
        unit, per_mm = ("mm", 1.0) if machine.units == "mm" else ("in", 1 / MM_PER_INCH)
        entries["control.corner_tolerance"] = note.entry(best.tolerance_mm, unit, per_mm)
    stated = machine.control.block_rate_hz
    if rate.high is not None:
        entries["control.block_rate"] = note.entry(rate, "1/s", 1.0)
    elif stated is not None and rate.low is not None and stated.value < rate.low:
        entries["control.block_rate"] = None
    return entries


@dataclass(frozen=True, slots=True, kw_only=True)
class _Note:
    """How numbers of one day's readings stand on a card."""

    today: date | None
    readings: str
    guessed: bool

    def entry(self, estimate: Estimate, unit: str, factor: float) -> dict[str, Any]:
        """Return a number with how far off it may be and how it was found; guessed when only a bound is known."""
        taken = estimate.taken
        low = estimate.low if estimate.low is not None else 0.0
        high = estimate.high if estimate.high is not None else 2 * taken - low
        off = min(max(high - taken, taken - low), 0.99 * taken)
        is_guess = self.guessed or estimate.value is None
        entry: dict[str, Any] = {
            "value": f"{_short(factor * taken, 3)} {unit}",
            "plus_minus": f"{_short(factor * off, 2)} {unit}",
            "origin": "guessed" if is_guess else "measured",
        }
        if self.today is not None:
            entry |= {"date": self.today, "with": f"timed runs, {self.readings}"}
        return entry


def _short(value: float, digits: int) -> str:
    """Return a number to so many digits, as people write it."""
    rounded = float(f"{value:.{digits}g}")
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


def _says(outcome: TimeOutcome, runs: Sequence[TimedRun], machine: Machine, card: str) -> tuple[str, str]:
    """Return what the runs say about the control, and what to do."""
    display, best = Display(machine.units), outcome.fit.best
    if outcome.why == "no-rule":
        off = _misfits(outcome, runs)
        told = "; ".join(
            f"{name}: you read {_clock(read)}, the nearest rule gives {_clock(said)}" for name, read, said in off
        )
        which = "that one" if len(off) == 1 else "them"
        return f"None of the four rules explains these times. {told}.", LOOK_AGAIN.format(which=which)
    following = ""
    if outcome.next_run is not None:
        each = "; ".join(
            f"about {_clock(seconds)} if {RULES[rule.corners]}"
            for rule, seconds in zip(outcome.alike, outcome.next_s, strict=True)
        )
        following = NEXT_RUN.format(run=outcome.next_run, card=card, times=each)
    if outcome.why == "one-run":
        says = "One run alone cannot tell how corners are taken and how many lines a second the control takes."
        return says, following or "Time another run too, and add it to the readings."
    if outcome.why == "rules-alike":
        rules = "; or ".join(RULES[rule.corners] for rule in outcome.alike)
        return f"These runs fit {len(outcome.alike)} rules: {rules}.", following
    rounding = f", {_span(best.tolerance_mm, display)}" if best.tolerance_mm is not None else ""
    says = f"At corners your control does this: {RULES[best.corners]}{rounding}. {_rate(best)}"
    if len(outcome.alike) > 1:
        says += " On this machine no run of ours tells that from the other rules, for they all take as long."
    if outcome.decision == "leave":
        return says, f"The card says so already. {MEANS[best.corners]}"
    return says, f"Enter it on the card, or let --write make the new card. {MEANS[best.corners]}"


def _misfits(outcome: TimeOutcome, runs: Sequence[TimedRun]) -> list[tuple[str, float, float]]:
    """Return the runs that the nearest rule does not explain: name, time read, time said [s]."""
    rows = list(zip(runs, outcome.fit.best.seconds, outcome.fit.deviations_s, strict=True))
    off = [(plain(run.name), run.seconds, said) for run, said, dev in rows if abs(said - run.seconds) > FITS * dev]
    return off or [(plain(run.name), run.seconds, said) for run, said, _ in rows]


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
    return f"{100 * rule.odds:.0f} chances in 100" if rule.odds >= SELDOM else "less than 1 chance in 100"


def _clock(seconds: float) -> str:
    """Return a time as a stopwatch shows it, with tenths."""
    minutes, rest = divmod(round(seconds, 1), 60)
    return f"{int(minutes)} min {rest:.1f} s" if minutes else f"{rest:.1f} s"


def _working(outcome: TimeOutcome, runs: Sequence[TimedRun]) -> list[dict[str, Any]]:
    """Return for each run what was read, what the likeliest rule says, and how much they may differ."""

    def steps() -> Iterator[dict[str, Any]]:
        rows = zip(runs, outcome.fit.best.seconds, outcome.fit.deviations_s, strict=True)
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
