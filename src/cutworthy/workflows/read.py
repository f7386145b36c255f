"""What a program says on its own, on no machine in particular."""

from collections.abc import Callable

from cutworthy.model.program import Program
from cutworthy.program import ReadOptions, read_program

__all__ = ["read"]


def read(program: bytes, *, strict: bool, block_delete: bool, progress: Callable[[float], None]) -> Program:
    """Return a program with stored offsets, lengths and home places at zero, begun at X0 Y0 Z0.

    Parameters
    ----------
    program
        The bytes of the program.
    strict
        Hold it to NISTIR 6556 and stop at the first error.
    block_delete
        Leave out the lines that begin with a slash.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.
    """
    return read_program(program, ReadOptions(strict=strict, block_delete=block_delete), progress)
