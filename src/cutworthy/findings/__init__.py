"""Results against limits: findings and the verdict. Compares and explains, computes no physics."""

from cutworthy.findings import bits, contact, depth, feed, missing, reading, spindle, suspicion, travel
from cutworthy.findings.registry import Rule, judge, merge, registered, verdict

__all__ = ["Rule", "judge", "merge", "registered", "verdict"]

# Importing a module of rules registers them.
_ROOMS = (bits, contact, depth, feed, missing, reading, spindle, suspicion, travel)
