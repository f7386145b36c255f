"""What a plain command may load: a verdict does not wait for a library that it does not need."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "examples" / "tidewater" / "plaque.toml"
PLOVER = DEMO.with_name("plover.toml")
PLAQUE = DEMO.with_name("plaque.nc")

# Cost more to load than a verdict costs to find. Named, so that nobody adds one to MAY_LOAD in passing.
HEAVY = {"matplotlib", "nicegui", "numba", "pint", "scipy", "shapely", "sqlalchemy", "typst"}

# The libraries of a plain command, with those that they load themselves.
NUMBERS = {"numpy"}
CARDS = {"annotated_types", "pydantic", "pydantic_core", "typing_extensions", "typing_inspection"}
FACE = {"annotated_doc", "click", "markdown_it", "mdurl", "pygments", "rich", "shellingham", "typer"}
MAY_LOAD = {"cutworthy"} | NUMBERS | CARDS | FACE

LISTS_LIBRARIES = """
import atexit, sys
before = set(sys.modules)  # what this environment loads for any program at all
def tell():
    names = {name.partition(".")[0] for name in sys.modules.keys() - before} - sys.stdlib_module_names
    print(*sorted(name for name in names if not name.startswith("_")), file=sys.stderr)
atexit.register(tell)
from cutworthy.cli.main import run
sys.argv = ["cutworthy", *sys.argv[1:]]
run()
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["prove", str(DEMO)],
        ["prove", str(DEMO), "--json"],
        ["settings", str(PLOVER)],
        ["read", str(PLAQUE)],
    ],
)
def test_a_command_loads_nothing_it_does_not_need(arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LISTS_LIBRARIES, *arguments], capture_output=True, text=True, check=False
    )
    assert done.returncode in {0, 1, 3}, done.stderr  # a verdict: go, no-go or ask
    loaded = set(done.stderr.splitlines()[-1].split())
    assert "cutworthy" in loaded
    assert loaded & HEAVY == set()
    assert loaded - MAY_LOAD == set()
