"""Clean jobs of the corpus: shapes, ways of writing them, boards, bits, holdings, on both machines of the workshop."""

from dataclasses import dataclass, field, replace

from pieces import (
    Program,
    Style,
    arcs,
    bores,
    drilling,
    fluting,
    letters,
    moved,
    outline,
    parts,
    pocket,
    relief,
    steps,
    surfacing,
    two_bits,
)  # fmt: skip

FLAT = {"kind": "flat", "diameter": "6 mm", "flutes": 2, "spiral": "up", "centre_cutting": True,
        "cutting_length": "22 mm", "stickout": "30 mm", "shank": "6 mm", "material": "carbide",
        "max_rpm": "24000 rpm", "speed": "16000 rpm", "runout": "0.03 mm"}  # fmt: skip
BALL = FLAT | {"kind": "ball", "stickout": "26 mm"}
VEE = FLAT | {"kind": "vee", "diameter": "12 mm", "angle": "60 deg", "cutting_length": "10 mm"}
DRILL = FLAT | {"kind": "drill", "diameter": "5 mm", "cutting_length": "26 mm"}
WIDE = FLAT | {"diameter": "20 mm", "cutting_length": "12 mm", "speed": "12000 rpm"}
CLAMPS = (
    {"name": "left", "from": ["-40 mm", "50 mm"], "to": ["12 mm", "80 mm"], "height": "22 mm"},
    {"name": "right", "from": ["170 mm", "50 mm"], "to": ["220 mm", "80 mm"], "height": "22 mm"},
)


@dataclass(frozen=True, kw_only=True)
class Job:
    """A job: its program, how it is written, and what stands on its cards."""

    lines: Program
    style: Style = field(default_factory=Style)
    machine: str = "plover"
    material: str = "white oak"
    size: tuple[str, str, str] = ("180 mm", "120 mm", "18 mm")
    zero: tuple[str, str, str] = ("left", "front", "top")
    bits: tuple[dict, ...] = (FLAT,)
    clamps: tuple[dict, ...] = CLAMPS
    holding: str = "clamps"
    spread: str = "0.2 mm"
    edits: tuple[tuple[str, str], ...] = ()  # of the machine's card
    job_edits: tuple[tuple[str, str], ...] = ()

    def with_bit(self, **keys):
        """Return the job with other keys of its first bit."""
        return replace(self, bits=({**self.bits[0], **keys}, *self.bits[1:]))

    def card(self):
        """Return the text of the job card."""
        at = '["100 mm", "100 mm"]' if self.machine == "plover" else '["12 in", "6 in"]'
        bottom = "-80 mm" if self.machine == "plover" else "-4 in"
        rows = [
            'program = "job.nc"', 'machine = "machine.toml"', "[board]", f'material = "{self.material}"',
            f"size = {list(self.size)}".replace("'", '"'), f"at = {at}", f'bottom = "{bottom}"',
            f'spread = "{self.spread}"', "[zero]", f'x = "{self.zero[0]}"', f'y = "{self.zero[1]}"',
            f'z = "{self.zero[2]}"', 'plus_minus = "0.5 mm"', 'plus_minus_z = "0.1 mm"', "[start]",
            'above_top = "12 mm"', "[holding]", f'by = "{self.holding}"',
        ]  # fmt: skip
        for table, tables in (("bits", self.bits), ("clamps", self.clamps)):
            for number, keys in enumerate(tables, start=1):
                rows.append(f"[[{table}]]")
                rows += [f"tool = {number}"] if table == "bits" and len(tables) > 1 else []
                rows += [f"{key} = {_typed(value)}" for key, value in keys.items()]
        text = "\n".join(rows) + "\n"
        for old, new in self.job_edits:
            assert old in text, old
            text = text.replace(old, new, 1)
        return text


def _typed(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value).replace("'", '"') if isinstance(value, int | list) else f'"{value}"'


HERON = {"machine": "heron-with-labels", "size": ("7 in", "4 3/4 in", "3/4 in")}
INCH = Style(inch=True)
THIN = ("180 mm", "120 mm", "12 mm")

BY_PROGRAM = (('switched_by = "hand"', 'switched_by = "program"'), ('speed_by = "dial"', 'speed_by = "program"'))

CLEAN: dict[str, Job] = {
    "pocket": Job(lines=pocket()),
    "pocket, numbered lines": Job(lines=pocket(), style=Style(numbered=True), material="sugar maple"),
    "pocket, no spaces, small letters": Job(lines=pocket(), style=Style(spaces=False, lower=True), material="MDF"),
    "pocket in inches on Heron": Job(lines=pocket(), style=INCH, **HERON),
    "pocket, returns and line feeds, semicolons": Job(
        lines=pocket(), style=Style(ends="\r\n", comments=";"), material="black cherry"
    ),
    "outline with tabs": Job(lines=outline(), size=THIN, material="birch plywood"),
    "outline with tabs in a frame": Job(
        lines=outline(), style=Style(percent=True, numbered=True), size=THIN, material="MDF"
    ),
    "outline in inches, screwed down": Job(
        lines=outline(),
        style=replace(INCH, bare_zero=True),
        material="yellow-poplar",
        holding="screws",
        machine="heron-with-labels",
        size=("7 in", "4 3/4 in", "0.472 in"),
    ),
    "letters": Job(lines=letters(), bits=(VEE,)),
    "letters in inches": Job(lines=letters(), bits=(VEE,), style=INCH, **HERON, material="black walnut"),
    "letters without a last line end": Job(
        lines=letters(), bits=(VEE,), style=Style(last_end=False, spaces=False), material="black walnut"
    ),
    "surfacing": Job(lines=surfacing(), bits=(WIDE,), clamps=(), holding="screws", material="MDF"),
    "holes": Job(lines=drilling(), bits=(DRILL,)),
    "holes in pine, small letters": Job(
        lines=drilling(), bits=(DRILL,), style=Style(lower=True), material="white pine"
    ),
    "bores by helices": Job(lines=bores()),
    "bores in inches": Job(lines=bores(), style=replace(INCH, numbered=True), **HERON),
    "waves": Job(lines=relief(), bits=(BALL,), material="basswood"),
    "waves, tight": Job(lines=relief(), bits=(BALL,), style=Style(spaces=False, bare_zero=True), material="red alder"),
    "two bits": Job(lines=two_bits(), bits=(DRILL, FLAT)),
    "two bits in inches": Job(lines=two_bits(), bits=(DRILL, FLAT), style=INCH, **HERON),
    "arcs by radius and by centre": Job(lines=arcs()),
    "arcs, numbered, in a frame": Job(lines=arcs(), style=Style(numbered=True, percent=True, ends="\r\n")),
    "relative steps": Job(lines=steps(), material="red oak, northern"),
    "relative steps in inches": Job(lines=steps(), style=replace(INCH, bare_zero=True, lower=True), **HERON),
    "pocket, zero at the middle of the board": Job(
        lines=moved(pocket(), x=-90, y=-60), zero=("centre", "centre", "top"), material="MDF"
    ),
    "outline, zero on the table": Job(
        lines=moved(outline(), z=12), zero=("left", "front", "bottom"), size=THIN, material="birch plywood"
    ),
    "letters, the program turns the spindle": Job(lines=letters(), bits=(VEE,), edits=BY_PROGRAM),
    "flutes": Job(lines=fluting(), bits=(BALL,)),
    "called parts": Job(lines=parts()),
}
