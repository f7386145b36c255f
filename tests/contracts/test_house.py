"""The rules of the house are kept, and breaking one of them is seen."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import cutworthy

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = Path(cutworthy.__file__).parent

# Where a forbidden line is planted, the line, and the contract that must see it.
FORBIDDEN = [
    ("errors", "import cutworthy.model", "1 One direction"),
    ("units", "import cutworthy.reference", "1 One direction"),
    ("reference", "import cutworthy.model", "1 One direction"),
    ("model", "import cutworthy.kernels", "1 One direction"),
    ("program", "import cutworthy.motion", "1 One direction"),
    ("clearance", "import cutworthy.present", "1 One direction"),
    ("workflows", "import cutworthy.app", "1 One direction"),
    ("app", "import cutworthy.cli", "1 One direction"),
    ("app", "import cutworthy.program", "2 Only workflows call the areas"),
    ("cli", "import cutworthy.findings", "2 Only workflows call the areas"),
    ("cli", "import cutworthy.workflows", "3 Only app calls workflows, store and sheets"),
    ("cli", "import cutworthy.sheets", "3 Only app calls workflows, store and sheets"),
    ("workflows", "import cutworthy.present", "4 Wording is for people"),
    ("kernels", "import cutworthy.units", "5 Kernels know numbers only"),
    ("findings", "import cutworthy.kernels", "6 Findings compare, they do not compute"),
    ("model", "import pydantic", "7 The engine knows no framework"),
    ("present", "import rich", "7 The engine knows no framework"),
    ("app", "import typer", "8 Each framework in its room"),
    ("findings", "import numba", "9 Only kernels compile"),
    ("program", "import cutworthy.program.planted_too", "10 No cycles anywhere"),
]


def _lint(house: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()", "--no-cache"]
    search = {**os.environ, "PYTHONPATH": str(house / "src"), "COLUMNS": "200", "NO_COLOR": "1"}
    return subprocess.run(command, cwd=house, env=search, capture_output=True, text=True, check=False)


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a copy of the package and its contracts."""
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copytree(PACKAGE, tmp_path / "src" / "cutworthy", ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path


def _plant(house: Path, room: str, line: str) -> None:
    """Add a line to a room: in a module of its own, or at the end of the room that is one module."""
    place = house / "src" / "cutworthy" / room
    if place.is_dir():
        (place / "planted.py").write_text(f"{line}\n", encoding="utf-8")
        (place / "planted_too.py").write_text(f"import cutworthy.{room}.planted\n", encoding="utf-8")
    else:
        with place.with_suffix(".py").open("a", encoding="utf-8") as module:
            module.write(f"\n{line}\n")


def test_the_house_keeps_its_rules(house: Path) -> None:
    done = _lint(house)
    assert done.returncode == 0, done.stdout
    assert "0 broken" in done.stdout


@pytest.mark.parametrize(("room", "line", "contract"), FORBIDDEN)
def test_a_forbidden_import_is_seen(house: Path, room: str, line: str, contract: str) -> None:
    _plant(house, room, line)
    done = _lint(house)
    assert done.returncode == 1, done.stdout
    assert f"{contract} BROKEN" in done.stdout


def test_a_room_without_a_place_is_seen(house: Path) -> None:
    stray = house / "src" / "cutworthy" / "utils"
    stray.mkdir()
    (stray / "__init__.py").touch()
    done = _lint(house)
    assert done.returncode == 1
    assert "- cutworthy.utils" in done.stdout
    assert "1 One direction BROKEN" in done.stdout
