"""Runs of decimal digits in bytes, eight at a time."""

from typing import Any

import numba
import numpy as np
import numpy.typing as npt
from llvmlite import ir
from numba import types
from numba.extending import intrinsic

from cutworthy.kernels.compiling import inlined

__all__ = ["AHEAD", "digits", "one_by_one"]

AHEAD = 8  # bytes that are looked at together: so many must follow

Bytes = npt.NDArray[np.uint8]

ZEROS, HIGH, CARRY = np.uint64(0x3030303030303030), np.uint64(0xF0F0F0F0F0F0F0F0), np.uint64(0x0606060606060606)
PAIRS, FOURS, EIGHT = np.uint64(0x00FF00FF00FF00FF), np.uint64(0x0000FFFF0000FFFF), np.uint64(0x00000000FFFFFFFF)
TEN, HUNDRED, MYRIAD = np.uint64(10), np.uint64(100), np.uint64(10_000)
ALL, BYTE, TWO_BYTES, FOUR_BYTES, BITS_TO_BYTES = np.uint64(8), np.uint64(8), np.uint64(16), np.uint64(32), np.uint64(3)
NONE = np.uint64(0)


@intrinsic
def _eight_bytes(_typing: Any, array: Any, _index: Any) -> Any:
    """Load eight bytes as one little-endian number, wherever they begin."""

    def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        view = context.make_array(signature.args[0])(context, builder, arguments[0])
        place = builder.gep(view.data, [arguments[1]])
        return builder.load(builder.bitcast(place, ir.IntType(64).as_pointer()), align=1)

    return types.uint64(array, types.intp), build


@intrinsic
def _lowest_bit(_typing: Any, _number: Any) -> Any:
    """Return the place of the lowest bit that is set."""

    def build(_context: Any, builder: Any, _signature: Any, arguments: Any) -> Any:
        return builder.cttz(arguments[0], ir.Constant(ir.IntType(1), 1))

    return types.uint64(types.uint64), build


_eight: Any = _eight_bytes  # the compiler hands over its first argument
_lowest: Any = _lowest_bit


def _together(data: Bytes, at: int) -> tuple[int, int]:
    """Return the number that up to eight digits make, and how many they are; ``AHEAD`` bytes must follow.

    A byte is no digit when its upper half is not 3, or becomes 4 by adding 6. The digits are moved
    to the upper end, zeros before them, and added up in pairs, fours and eights.
    """
    eight = _eight(data, at)
    others = ((eight & HIGH) ^ ZEROS) | (((eight + CARRY) & HIGH) ^ ZEROS)
    count = _lowest(others) >> BITS_TO_BYTES if others != NONE else ALL
    if count == NONE:
        return 0, 0
    number = (eight - ZEROS) << ((ALL - count) << BITS_TO_BYTES)
    number = (number * TEN + (number >> BYTE)) & PAIRS
    number = (number * HUNDRED + (number >> TWO_BYTES)) & FOURS
    number = (number * MYRIAD + (number >> FOUR_BYTES)) & EIGHT
    return np.int64(number), np.int64(count)  # type: ignore[return-value]  # whole numbers to the kernels


def one_by_one(data: Bytes, at: int) -> tuple[int, int]:
    """Return the same, digit by digit: the twin, and the way without a compiler."""
    number = count = 0
    while count < AHEAD and ord("0") <= data[at + count] <= ord("9"):
        number = number * 10 + int(data[at + count]) - ord("0")
        count += 1
    return number, count


_settings: Any = numba.config
digits = one_by_one if _settings.DISABLE_JIT else inlined(_together)
