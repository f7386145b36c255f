"""Scraps of programs, and ways to read them, for tests that throw anything at the reader."""

from hypothesis import strategies as st

from cutworthy.program import ListedTool, ReadOptions

CHOICES = {
    "units_at_start": ("mm", "inch", "unknown"),
    "arc_centres": ("relative", "absolute", "unknown"),
    "block_delete": (False, True),
    "home": ("named", "all"),
    "g28_mm": (None, (1.0, 2.0, 3.0)),
    "origin_mm": ((0.0, 0.0, 0.0), (None, 5.0, None)),
    "start_mm": (None, (1.0, 2.0, 3.0)),
    "system": ("G54", "G59.1"),
    "other_systems_known": (False, True),
    "strict": (False, True),
    "lengths": ("listed", "table", "touched-off", "unknown"),
    "tools": ({}, {1: ListedTool(length_mm=20.0, diameter_mm=2.0)}),
}
options = st.builds(ReadOptions, **{name: st.sampled_from(values) for name, values in CHOICES.items()})
SCRAPS = """
G0 G1 G2 G3 G4 G10 G17 G18 G19 G20 G21 G28 G30 G38.2 G40 G41 G43 G49 G53 G54 G55 G73 G80 G81 G82 G83 G90 G91 G92
G92.1 G92.2 G92.3 G93 G94 G98 G99 G90.1 G42 G61 G64 G84 G85 G86 G87 G88 G89
L3 M2 M3 M4 M5 M6 M98 M99 T1 S9 F9 F0 N1 / % ( ) ; # [ ] = X1 X-2.5 Y3 Z-4 I1 I-2 J3 K0
R5 R-7 P0.5 Q.3 L2 A1 D1 H1 X#1 Y[1/0] #2=3 #5061 #5161=4 Z[#2*2] SIN[30] Q2 H1 D1 O1 E9 , . -
"""
scraps = st.lists(
    st.one_of(
        st.sampled_from(SCRAPS.split()),
        st.sampled_from(("\n", "\n", "\r\n", "\r", " ")),
    ),
    max_size=40,
).map("".join)
