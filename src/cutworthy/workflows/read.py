"""What a program says on its own, on no machine in particular."""

from collections.abc import Callable, Mapping

from cutworthy.findings import told_once
from cutworthy.model.summary import ReadOutcome
from cutworthy.program import ListedTool, ReadOptions, must_compile, read_program
from cutworthy.workflows.summary import summary_of

__all__ = ["ListedTool", "must_compile", "read"]


def read(
    program: bytes,
    *,
    strict: bool,
    block_delete: bool,
    tools: Mapping[int, ListedTool],
    progress: Callable[[float], None],
) -> ReadOutcome:
    """Return a program with stored offsets and home places at zero, begun at X0 Y0 Z0.

    Parameters
    ----------
    program
        The bytes of the program.
    strict
        Hold it to NISTIR 6556 and stop at the first error.
    block_delete
        Leave out the lines that begin with a slash.
    tools
        Lengths and diameters by the numbers that call them; every other length is taken as zero.
    progress
        Called with the share done, 0 to 1; may raise ``Stopped``.
    """
    options = ReadOptions(strict=strict, block_delete=block_delete, tools=tools)
    found = read_program(program, options, progress)
    return ReadOutcome(
        program=found,
        summary=summary_of(found),
        findings=told_once(found.problems),
        with_lengths=any(tool.length_mm for tool in tools.values()),
    )
