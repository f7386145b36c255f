"""Reads a program on its own and tells what it says."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cutworthy.app.cards import load_tools
from cutworthy.app.files import read_program
from cutworthy.app.proofs import WORST_FIRST
from cutworthy.model.summary import ReadOutcome
from cutworthy.present.document import moves_document, program_document
from cutworthy.present.page import Line
from cutworthy.present.program_page import program_page
from cutworthy.workflows.read import ListedTool, must_compile, read

__all__ = ["ReadAnswer", "progress_label", "read_and_tell"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAnswer:
    """What a program says: the worst level of its problems, and all faces, each made when it is asked for."""

    verdict: str
    outcome: ReadOutcome
    name: str

    @property
    def document(self) -> dict[str, Any]:
        """What the program says, without its moves."""
        program = self.outcome.program
        return program_document(program, "inch" if program.units == "inch" else "mm")

    def moves(self) -> Iterator[dict[str, Any]]:
        """Yield the moves one by one, as documents."""
        for moves in self.outcome.program.pieces():
            yield from moves_document(moves)

    def page(self, *, every_move: bool) -> Iterator[Line]:
        """Yield the page, with all moves or with the first and the last."""
        return program_page(self.outcome, self.name, every_move=every_move)


def progress_label(path: Path) -> str:
    """Return what to show beside the progress: the first long program waits for the compiler."""
    long = path.is_file() and must_compile(path.stat().st_size)
    return "Preparing the quick reader, once on this computer; reading" if long else "Reading"


def read_and_tell(
    path: Path, *, strict: bool, block_delete: bool, tools: Path | None, progress: Callable[[float], None]
) -> ReadAnswer:
    """Read a program, with the bits that a file lists.

    Raises
    ------
    InputError
        When a file cannot be used.
    """
    bits = load_tools(tools) if tools else ()
    listed = {bit.tool: ListedTool(diameter_mm=bit.diameter_mm, length_mm=bit.length_mm) for bit in bits}
    outcome = read(read_program(path), strict=strict, block_delete=block_delete, tools=listed, progress=progress)
    levels = [problem.level.value for problem in outcome.program.problems]
    verdict = min((level for level in levels if level in WORST_FIRST), key=WORST_FIRST.index, default="go")
    return ReadAnswer(verdict=verdict, outcome=outcome, name=path.name)
