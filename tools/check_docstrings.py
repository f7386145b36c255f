"""Checks what no linter does: docstrings against signatures and sources, lengths of modules and functions."""
# ruff: noqa: INP001, T201 - a script of its own, which prints what it found

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "cutworthy"
BIBLIOGRAPHY = SOURCE / "reference" / "bibliography.toml"

MODULE_LINES = 400
FUNCTION_LINES = 40  # without the docstring, which would punish the well described
# What may be longer, and why: "file:function" or "file" -> reason.
KERNEL = "one loop over every byte, whose numbers stay in registers: taken apart it took half as long again"
SWEEP = "one loop over all pieces: a row is so short that a call for each would cost more than its cells"
TWOFOLD = "one loop over all moves that runs both compiled and as plain Python, so it can call nothing of ours"
LONGER: dict[str, str] = {
    "src/cutworthy/kernels/lines.py:obey_lines": KERNEL,
    "src/cutworthy/kernels/lines.py:_words": KERNEL,
    "src/cutworthy/kernels/sweeping.py:sweep": SWEEP,
    "src/cutworthy/kernels/sweeping.py:lower": SWEEP,
    "src/cutworthy/kernels/planning.py:lay_out": TWOFOLD,
    "src/cutworthy/kernels/planning.py:join_up": TWOFOLD,
    "src/cutworthy/kernels/planning.py:plan": TWOFOLD,
}

PARAMETERS = re.compile(r"^Parameters\n-+\n(.*?)(?=^\S[^\n]*\n-+$|\Z)", re.MULTILINE | re.DOTALL)
PARAMETER = re.compile(r"^([*\w]+(?:, [*\w]+)*)(?: ?:.*)?$", re.MULTILINE)
CITATION = re.compile(r"\[@([^\]\s]+)\]")  # as [@thomson]; in square brackets alone stand units

Function = ast.FunctionDef | ast.AsyncFunctionDef


def main() -> int:
    """Print every fault with its place; 1 when there is one."""
    sources = set(tomllib.loads(BIBLIOGRAPHY.read_text(encoding="utf-8"))) if BIBLIOGRAPHY.exists() else set()
    faults = [fault for path in sorted(SOURCE.rglob("*.py")) for fault in faults_of(path, sources)]
    print("\n".join(faults) or "docstrings and lengths: in order")
    return 1 if faults else 0


def faults_of(path: Path, sources: set[str]) -> Iterator[str]:
    """Yield the faults of one module."""
    name = path.relative_to(ROOT).as_posix()
    text = path.read_text(encoding="utf-8")
    if (lines := text.count("\n")) > MODULE_LINES and name not in LONGER:
        yield f"{name}:1: {lines} lines, more than {MODULE_LINES}"
    for number, line in enumerate(text.splitlines(), start=1):
        for key in CITATION.findall(line):
            if key not in sources:
                yield f"{name}:{number}: [@{key}] is not in the bibliography"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, Function):
            if (lines := length(node)) > FUNCTION_LINES and f"{name}:{node.name}" not in LONGER:
                yield f"{name}:{node.lineno}: {node.name} has {lines} lines, more than {FUNCTION_LINES}"
            if (told := described(node)) is not None and told != (given := signature(node)):
                yield f"{name}:{node.lineno}: {node.name} takes {given}, its docstring describes {told}"


def length(node: Function) -> int:
    """Return the lines of a function without its docstring."""
    lines = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node) is not None:
        lines -= (first.end_lineno or first.lineno) - first.lineno + 1
    return lines


def described(node: Function) -> list[str] | None:
    """Return the names in the docstring's section of parameters, None without such a section."""
    section = PARAMETERS.search(ast.get_docstring(node) or "")
    if section is None:
        return None
    return [name.lstrip("*") for names in PARAMETER.findall(section[1]) for name in names.split(", ")]


def signature(node: Function) -> list[str]:
    """Return the names of a function's parameters in order, without self and cls."""
    taken = node.args
    every = [*taken.posonlyargs, *taken.args, taken.vararg, *taken.kwonlyargs, taken.kwarg]
    return [each.arg for each in every if each is not None and each.arg not in {"self", "cls"}]


if __name__ == "__main__":
    sys.exit(main())
