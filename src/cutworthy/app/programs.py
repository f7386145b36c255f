"""Reads a program on its own and tells what it says."""

from collections.abc import Callable
from pathlib import Path

from cutworthy.app.files import read_program
from cutworthy.app.proofs import WORST_FIRST, Answer
from cutworthy.present.document import moves_document, program_document
from cutworthy.present.page import program_page
from cutworthy.workflows.read import read

__all__ = ["read_and_tell"]


def read_and_tell(
    path: Path, *, strict: bool, block_delete: bool, moves: bool, progress: Callable[[float], None]
) -> Answer:
    """Read a program and return its document, with all its moves if asked, and its page.

    Raises
    ------
    InputError
        When the file cannot be read.
    """
    program = read(read_program(path), strict=strict, block_delete=block_delete, progress=progress)
    told = program_document(program, "inch" if program.units == "inch" else "mm")
    page = program_page(told, path.name)
    if moves:
        told["move_list"] = moves_document(program.moves)
    levels = [problem.level.value for problem in program.problems]
    verdict = min((level for level in levels if level in WORST_FIRST), key=WORST_FIRST.index, default="go")
    return Answer(verdict=verdict, document=told, page=page)
