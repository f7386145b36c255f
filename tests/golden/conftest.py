"""Prints the score of the corpus after the tests, in whatever process they ran."""

import pytest


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Tell how many faults were found, and how many clean jobs passed, with how many asks."""
    told: dict[str, list[tuple[bool, object]]] = {"corpus-fault": [], "corpus-asks": []}
    for outcome in ("passed", "failed"):
        for report in terminalreporter.getreports(outcome):
            for name, value in getattr(report, "user_properties", ()):
                if name in told and report.when == "call":
                    told[name].append((outcome == "passed", value))
    faults, clean = told["corpus-fault"], told["corpus-asks"]
    if faults and clean:
        found, passed = (sum(good for good, _ in each) for each in (faults, clean))
        asks = sum(int(str(count)) for _, count in clean)
        kinds = len({value for _, value in faults})
        terminalreporter.write_line(
            f"corpus: {found} of {len(faults)} faults of {kinds} kinds found with id and line; "
            f"{passed} of {len(clean)} clean jobs passed, with {asks} asks in all"
        )
