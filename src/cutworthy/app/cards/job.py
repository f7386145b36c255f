"""The job card: its tables and keys, and how they become the job record."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, ValidationInfo, field_validator

from cutworthy.app.cards.amounts import Amount, Edge, Entry, Several, guessed
from cutworthy.app.cards.faults import Fault, Place, RefusedError, key_text
from cutworthy.app.cards.machine import Triple, below, map_of, values_of
from cutworthy.app.cards.tables import Note, Table, each_keyed, finished, keyed
from cutworthy.app.cards.words import Count, Words
from cutworthy.model import job as records
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.reference.tables import limits_file

__all__ = ["JobFile", "job_of", "repeated"]

BitLength = Annotated[Entry, Amount("bit_length")]
BitSize = Annotated[Entry, Amount("bit_size")]
Corner = Annotated[tuple[Entry, Entry], Several(("place", "place"), '["-20 mm", "-10 mm"]', bare=True)]
Spot = Annotated[Entry, Amount("place")]

ACROSS = Edge(("left", "centre", "right"))
ALONG = Edge(("front", "centre", "back"))
# Keys of a bit that only some kinds have.
ONLY_FOR = {"corner_radius": ("bull", "taper"), "angle": ("vee", "taper"), "tip": ("vee",)}


class _Board(Table):
    """``[board]``."""

    makes = records.Board
    renamed: ClassVar = {"bottom_z_mm": "bottom"}

    material: Annotated[str, Words("white oak")]
    size: Annotated[
        tuple[Entry, Entry, Entry], Several(("board_size", "board_size", "thickness"), '["300 mm", "140 mm", "18 mm"]')
    ]
    at: Annotated[tuple[Entry, Entry], Several(("place", "place"), '["40 mm", "60 mm"]')] | None = None
    bottom: Spot | None = None
    room_above: Spot | None = None
    spread: Annotated[Entry, Amount("error")] = guessed("spread")
    grain: Literal["x", "y", "unknown"] = "unknown"
    density: Annotated[Entry, Amount("density")] | None = None
    thickness_map: list[Triple] = Field(default_factory=list)

    def more(self, at: Place) -> dict[str, Any]:
        """Return the three sizes, the place of the corner and the map."""
        return {
            **each_keyed(("size_x_mm", "size_y_mm", "thickness_mm"), self.size, (*at, "size")),
            **each_keyed(("at_x_mm", "at_y_mm"), self.at, (*at, "at")),
            "thickness_map": map_of(self.thickness_map),
        }


class _Zero(Table):
    """``[zero]``: where the program's zero sits on the board."""

    x: Annotated[str | Entry, ACROSS]
    y: Annotated[str | Entry, ALONG]
    z: Literal["top", "bottom"]
    system: Literal["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"] = "G54"
    plus_minus: Annotated[Entry, Amount("error")] = guessed("zero")
    plus_minus_z: Annotated[Entry, Amount("error")] = guessed("zero_z")

    def on(self, board: _Board) -> records.Zero:
        """Return the zero on this board."""
        width, depth, _ = values_of(board.size)
        return records.Zero(
            x_said=self.x if isinstance(self.x, str) else self.x.text,
            y_said=self.y if isinstance(self.y, str) else self.y.text,
            from_left_mm=ACROSS.from_edge(self.x, width),
            from_front_mm=ALONG.from_edge(self.y, depth),
            z=self.z,
            system=self.system,
            plus_minus_mm=keyed(self.plus_minus, ("zero", "plus_minus")),
            plus_minus_z_mm=keyed(self.plus_minus_z, ("zero", "plus_minus_z")),
        )


class _Start(Table):
    """``[start]``: where the bit may stand when the job starts."""

    makes = records.Start

    above_top: Annotated[Entry, Amount("start_height")]


class _Holding(Table):
    """``[holding]``. Only what is driven or tightened by hand has a force that can be guessed."""

    makes = records.Holding

    by: Literal["clamps", "screws", "tape", "vacuum", "nothing above the board"]
    force: Annotated[Entry, Amount("holding_force")] = guessed("holding_force")

    def more(self, at: Place) -> dict[str, Any]:  # noqa: ARG002 - what is left out has no key
        """Return no force for tape and vacuum that say none."""
        known = self.force.quantity.stated or self.by in ("clamps", "screws")
        return {} if known else {"force_n": None}


class _Bit(Table):
    """``[[bits]]``."""

    makes = records.Bit

    tool: Annotated[int, Count(1, 99999, 1)] = 0
    kind: Literal["flat", "ball", "bull", "vee", "taper", "drill"]
    diameter: BitSize
    corner_radius: BitSize | None = None
    angle: Annotated[Entry, Amount("bit_angle")] | None = None
    tip: Annotated[Entry, Amount("bit_tip")] | None = None
    flutes: Annotated[int, Count(1, 12, 2)]
    spiral: Literal["up", "down", "compression", "straight", "unknown"] = "unknown"
    centre_cutting: bool | None = None
    cutting_length: BitLength | None = None
    stickout: BitLength
    shank: BitSize | None = None
    material: Literal["carbide", "steel", "unknown"] = "unknown"
    chip: Annotated[tuple[Entry, Entry], Several(("chip", "chip"), '["0.05 mm", "0.15 mm"]', rising=True)] | None = None
    max_rpm: Annotated[Entry, Amount("max_rpm")] | None = None
    runout: Annotated[Entry, Amount("runout")] | None = None
    speed: Annotated[Entry, Amount("spindle_speed")] | None = None

    @field_validator("corner_radius")
    @classmethod
    def _is_half(cls, radius: Entry | None, info: ValidationInfo) -> Entry | None:
        diameter = info.data.get("diameter")
        if radius and diameter and 2 * radius.quantity.value > diameter.quantity.value:
            raise RefusedError(Fault("is more than half the diameter", "write the radius, and check the diameter"))
        return radius

    @field_validator("tip")
    @classmethod
    def _is_inside(cls, tip: Entry | None, info: ValidationInfo) -> Entry | None:
        return below(tip, info.data.get("diameter"), "diameter")

    def unused(self) -> dict[str, str]:
        """Return the keys that belong to other kinds of bit."""
        why = f"says nothing of a {self.kind} bit"
        return {key: why for key, kinds in ONLY_FOR.items() if self.kind not in kinds and key in self.model_fields_set}

    def more(self, at: Place) -> dict[str, Any]:
        """Return the range per tooth, and a guess of the cutting length where it is not given."""
        values: dict[str, Any] = each_keyed(("chip_low_mm", "chip_high_mm"), self.chip, (*at, "chip"))
        if self.cutting_length is None:
            values["cutting_length_mm"] = keyed(self._likely_length(), (*at, "cutting_length"))
        return values

    def _likely_length(self) -> Entry:
        longest = self.stickout.quantity.value
        diameters = limits_file()["defaults"]["cutting_length"]["low_diameters"]
        shortest = min(diameters * self.diameter.quantity.value, longest)
        middle = (shortest + longest) / 2
        quantity = Quantity(value=middle, low=shortest, high=longest, origin=Origin.GUESSED, key="", stated=False)
        return Entry(quantity=quantity, text="")


class _Clamp(Table):
    """``[[clamps]]``."""

    makes = records.Clamp

    name: Annotated[str, Words("front left")]
    from_: Corner = Field(alias="from")
    to: Corner
    height: Annotated[Entry, Amount("clamp_height")]
    plus_minus: Annotated[Entry, Amount("error")] = guessed("clamp")

    @field_validator("to")
    @classmethod
    def _rises(cls, to: tuple[Entry, Entry], info: ValidationInfo) -> tuple[Entry, Entry]:
        low, high = info.data.get("from_"), values_of(to)
        if low and not all(start < end for start, end in zip(values_of(low), high, strict=True)):
            raise RefusedError(
                Fault("is not behind and to the right of from", "write the front left corner under from")
            )
        return to

    def more(self, at: Place) -> dict[str, Any]:  # noqa: ARG002 - the corners have no key in the record
        """Return the corners."""
        (left, front), (right, back) = values_of(self.from_), values_of(self.to)
        return {"from_x_mm": left, "from_y_mm": front, "to_x_mm": right, "to_y_mm": back}


class JobFile(Table):
    """A job card."""

    program: Annotated[str, Words("plaque.nc", is_file=True)]
    machine: Annotated[str, Words("plover.toml", is_file=True)]
    board: _Board
    zero: _Zero
    start: _Start | None = None
    holding: _Holding | None = None
    bits: list[_Bit] = Field(min_length=1)
    clamps: list[_Clamp] = Field(default_factory=list)

    @classmethod
    def together(cls, raw: Mapping[str, Any]) -> Iterator[Fault]:
        """Yield two bits with one number, two clamps with one name, and bits that no number calls."""
        yield from repeated(raw, "bits", "tool")
        yield from repeated(raw, "clamps", "name")
        bits = _tables(raw, "bits")
        for i, bit in enumerate(bits):
            if "tool" not in bit and len(bits) > 1:
                yield Fault(
                    "is missing, and there are several bits", "write the T number that calls it", ("bits", i, "tool")
                )


def job_of(card: JobFile, notes: list[Note]) -> records.Job:
    """Return the record of a job card, and add remarks to ``notes``."""
    return records.Job(
        board=finished(card.board, ("board",), notes),
        zero=card.zero.on(card.board),
        start=finished(card.start, ("start",), notes),
        holding=finished(card.holding, ("holding",), notes),
        bits=finished(card.bits, ("bits",), notes),
        clamps=finished(card.clamps, ("clamps",), notes),
    )


def repeated(raw: Mapping[str, Any], key: str, name: str) -> Iterator[Fault]:
    """Yield the tables of a list that have the same name as one before."""
    first: dict[str, int] = {}
    for i, row in enumerate(_tables(raw, key)):
        said = str(row.get(name, "?")).strip()
        if said in first and said != "?":
            yield Fault(f"stands at {key_text((key, first[said]))} too", f"give each its own {name}", (key, i, name))
        first.setdefault(said, i)


def _tables(raw: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
    rows = raw.get(key)
    return [row if isinstance(row, dict) else {} for row in rows] if isinstance(rows, list) else []
