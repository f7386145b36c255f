"""RS-274 program text to moves (NISTIR 6556, and practice where it is laxer)."""

from cutworthy.program.fast import must_compile
from cutworthy.program.options import ListedTool, ReadOptions
from cutworthy.program.reader import read_program
from cutworthy.program.replay import state_before

__all__ = ["ListedTool", "ReadOptions", "must_compile", "read_program", "state_before"]
