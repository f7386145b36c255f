"""Results against limits: findings and the verdict. Compares and explains, computes no physics."""

from cutworthy.findings import (
    axes,
    bits,
    contact,
    depth,
    feed,
    loads,
    missing,
    parts,
    power,
    reading,
    spindle,
    suspicion,
    travel,
    wiring,
    wood,
)
from cutworthy.findings.reading import told_once
from cutworthy.findings.registry import Rule, judge, judge_machine, merge, registered, verdict

__all__ = ["Rule", "judge", "judge_machine", "merge", "registered", "told_once", "verdict"]

# Importing a module of rules registers them.
_ROOMS = (
    axes, bits, contact, depth, feed, loads, missing, parts, power, reading, spindle, suspicion, travel, wiring, wood,
)  # fmt: skip
