"""G and M codes by the group in which only one of them can stand.

Source: NISTIR 6556, Table 4; the codes it does not have are common practice, no source.
"""

from collections.abc import Mapping

from cutworthy.program.real import NEAR

__all__ = ["AXIS_USERS", "CYCLES", "G_GROUPS", "HOMES", "M_GROUPS", "PRACTICE_ONLY", "SYSTEMS", "USES", "code_of"]

G_GROUPS = {
    "motion": "G0 G1 G2 G3 G38.2 G73 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89",
    "plane": "G17 G18 G19",
    "distance": "G90 G91",
    "feed-mode": "G93 G94",
    "units": "G20 G21 G70 G71",
    "side": "G40 G41 G42",
    "length": "G43 G49",
    "return": "G98 G99",
    "system": "G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3",
    "path": "G61 G61.1 G64",
    "arc-centres": "G90.1 G91.1",
    "once": "G4 G10 G28 G30 G53 G92 G92.1 G92.2 G92.3",
}
M_GROUPS = {
    "stopping": "M0 M1 M2 M30 M60 M98 M99",
    "tool-change": "M6",
    "spindle": "M3 M4 M5",
    "coolant": "M7 M8 M9",
    "overrides": "M48 M49",
}

Code = tuple[str, str]


def _by_number(groups: Mapping[str, str]) -> Mapping[float, Code]:
    """Return group and name of each code, by the number behind its letter."""
    return {float(name[1:]): (group, name) for group, names in groups.items() for name in names.split()}


G_CODES = _by_number(G_GROUPS)
M_CODES = _by_number(M_GROUPS)

SYSTEMS = tuple(G_GROUPS["system"].split())
# Codes of the group "once" that take the axis words for themselves.
AXIS_USERS = frozenset(("G10", "G28", "G30", "G92"))
HOMES = ("G28", "G30")
CYCLES = ("G73", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89")
# Codes that the report does not have.
PRACTICE_ONLY = frozenset(("G70", "G71", "G73", "G90.1", "G91.1", "M98", "M99"))

# Letters besides the axes, F, S and T that each code takes a number from.
USES: Mapping[str, str] = {
    "G2": "IJKR",
    "G3": "IJKR",
    "G4": "P",
    "G10": "LP",
    "G41": "D",
    "G42": "D",
    "G43": "H",
    "G73": "LQR",
    "G81": "LR",
    "G82": "LPR",
    "G83": "LQR",
    "G84": "LR",
    "G85": "LR",
    "G86": "LPR",
    "G87": "IJKLR",
    "G88": "LPR",
    "G89": "LPR",
    "M98": "LP",
    "M99": "P",
}


def code_of(letter: str, value: float) -> Code | None:
    """Return group and name of the code of G or M whose number is near enough, None when there is none."""
    codes = G_CODES if letter == "G" else M_CODES
    found = codes.get(value)
    if found is None:
        steps = 10 if letter == "G" else 1
        nearest = round(value * steps)
        if abs(value * steps - nearest) <= NEAR:
            found = codes.get(nearest / steps)
    return found
