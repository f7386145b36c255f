"""Writes docs/findings.md from the registry of rules and their wording; ``--check`` only compares."""
# ruff: noqa: INP001, T201 - a script of its own, which prints what it did

import sys
from pathlib import Path

from cutworthy.findings import Rule, registered
from cutworthy.present.sentences import LEVELS, wording, wording_keys

PAGE = Path(__file__).resolve().parents[1] / "docs" / "findings.md"
HEAD = """\
# Findings

What cutworthy can find, by its short name. Numbers and names in braces are those of your job. This page is written by
`python tools/findings_page.py`; the limits stand in `src/cutworthy/reference/limits.toml`.
"""


def main() -> int:
    """Write the page, or say that it is not up to date."""
    text = page()
    if "--check" not in sys.argv:
        PAGE.write_text(text, encoding="utf-8", newline="\n")
    elif not PAGE.exists() or PAGE.read_text(encoding="utf-8") != text:
        print("docs/findings.md is not up to date: python tools/findings_page.py")
        return 1
    return 0


def page() -> str:
    """Return the whole page."""
    cases: dict[str, list[str]] = {}
    for rule_id, case in sorted(wording_keys()):
        cases.setdefault(rule_id, []).append(case)
    return HEAD + "".join(section(rule, cases[rule.id]) for rule in registered())


def section(rule: Rule, cases: list[str]) -> str:
    """Return the section of one rule: its levels, its source, and what it says and advises."""
    levels = " or ".join(LEVELS[level] for level in rule.levels)
    lines = [f"\n## `{rule.id}`\n", f"{levels}. Source: {rule.source}.\n"]
    for case in cases:
        says, do = wording(rule.id, case)
        lines.append(f"- {says} *{do}*")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    sys.exit(main())
