"""The sentence a woodworker understands, and what to do about it."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from cutworthy.model.findings import Finding, Outcome
from cutworthy.model.program import Level, Problem
from cutworthy.present.plain import plain
from cutworthy.present.show import Display

__all__ = [
    "CLOSING",
    "LEVELS",
    "VERDICTS",
    "few_keys",
    "label",
    "not_checked",
    "problem_says",
    "says_and_do",
    "wording",
    "wording_keys",
]

CLOSING = "This checks what you entered. It does not watch the machine: eyes, ears, hand on the stop."
LEVELS: Mapping[Level, str] = {Level.NO_GO: "NO-GO", Level.ASK: "ASK", Level.NOTE: "note"}
VERDICTS: Mapping[str, str] = {
    "go": "Fit to cut, as far as cutworthy can know.",
    "ask": "Look at these first.",
    "no-go": "Do not cut this.",
}
NAMED_LINES = 3
APART = ("clears", "labels", "not-checked", "slips")  # tables that are no findings
CLEARS = {"feed": "most_feed_mm_min", "depth": "clear_depth_mm"}
SLIPS_NAMED, KEYS_NAMED = 2, 5


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads((files("cutworthy.present") / "words.toml").read_text(encoding="utf-8"))


def wording(rule_id: str, case: str) -> tuple[str, str]:
    """Return the templates of an id's case: what is said, and what to do."""
    # A strict reading refuses as a bad line what practice accepts: it is said in the words of practice.
    cases = _words()[rule_id]
    row = _words()["practice"][case] if rule_id == "bad-line" and case not in cases else cases[case]
    return row["says"], row["do"]


def wording_keys() -> frozenset[tuple[str, str]]:
    """Return all ids and cases that have wording."""
    return frozenset((i, case) for i, cases in _words().items() if i not in APART for case in cases)


def label(rule_id: str) -> str:
    """Return the few words that stand beside a place in a picture."""
    words: str = _words()["labels"].get(rule_id, rule_id)
    return words


def says_and_do(finding: Finding, display: Display) -> tuple[str, str]:
    """Return the sentence of a finding and what to do, in the units of the display."""
    fields = display.numbers(finding.numbers)
    fields |= {
        "about": plain(finding.about or ""),
        "quote": plain(finding.quote),
        "where": _where(finding),
        "on": _on(finding),
        "axis": _axis(finding.about or ""),
        "keys": few_keys(str(finding.numbers.get("keys") or "")),
        "slip": _slip(str(finding.numbers.get("slips", ""))),
        "clear": _clear(fields),
        "places": _count(int(finding.numbers.get("places") or 0), "place"),
    }
    says, do = wording(finding.id, finding.case)
    return says.format_map(fields), do.format_map(fields)


def problem_says(problem: Problem, display: Display) -> str:
    """Return the sentence about one line of the program."""
    finding = Finding(
        id=problem.id,
        level=problem.level,
        case=problem.case,
        about=problem.quote,
        line=problem.line,
        count=1,
        lines=(problem.line,),
        numbers=problem.numbers,
        quote=problem.quote,
    )
    return says_and_do(finding, display)[0]


def not_checked(outcome: Outcome) -> list[dict[str, str]]:
    """Return what no tool could know about this job, as id and sentence."""
    shoe = "a dust shoe" if "shoe" in outcome.parts else "no dust shoe"
    fields = {"clamps": _count(outcome.clamps, "clamp"), "shoe": shoe}
    rows = _words()["not-checked"]
    return [{"id": key, "says": rows[key].format_map(fields)} for key in outcome.not_checked]


def _clear(fields: Mapping[str, str]) -> str:
    """Return what to do on the lines of a load that is too much, up to which feed or depth it would do."""
    known = [name for name in ("feed", "depth") if f"{CLEARS[name]}" in fields]
    words: Mapping[str, str] = _words()["clears"]
    return words["-".join(known) or "less"].format_map(fields)


def _axis(about: str) -> str:
    """Return the axis that a culprit is, or that its key belongs to, as people write it."""
    return (about.split(".")[1] if about.startswith("axes.") else about).upper()


def few_keys(keys: str) -> str:
    """Return the first of several keys, and how many there are more."""
    every = plain(keys).split(", ")
    more = len(every) - KEYS_NAMED
    return ", ".join(every[:KEYS_NAMED]) + (f" and {more} more" if more > 0 else "")


def _slip(ids: str) -> str:
    """Return what mistake fits, or the two likeliest of several; of two made together both."""
    slips: Mapping[str, str] = _words()["slips"]
    told = [
        " And: ".join(slips[part] for part in each.split("*"))
        for each in ids.split(" ")[:SLIPS_NAMED]
        if each in slips or "*" in each
    ]
    return " Or: ".join(told)


def _where(finding: Finding) -> str:
    """Return the lines as the start of a sentence."""
    on = _on(finding)
    return on[:1].upper() + on[1:]


def _on(finding: Finding) -> str:
    if finding.line is None:
        return "the job"
    if finding.count == 1:
        return f"line {finding.line}"
    shown = [str(line) for line in finding.lines[:NAMED_LINES]]
    if finding.count > len(shown):
        return f"lines {', '.join(shown)} and {finding.count - len(shown)} more"
    return f"lines {', '.join(shown[:-1])} and {shown[-1]}"


def _count(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
