"""The example programs are what their script writes, and the spoilt plaque differs in what is planted."""

import runpy
from pathlib import Path

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"


def test_the_script_writes_the_programs():
    script = runpy.run_path(str(TIDEWATER / "make_programs.py"))
    made = {"plaque.nc": script["plaque"](20.0), "plaque-spoilt.nc": script["plaque"](3.0), "tray.nc": script["tray"]()}
    for name, lines in made.items():
        assert (TIDEWATER / name).read_text(encoding="ascii") == "\n".join(lines) + "\n"


def test_the_spoilt_job_differs_from_the_plaque_in_its_program_only():
    whole, spoilt = (
        (TIDEWATER / name).read_text(encoding="utf-8").splitlines() for name in ("plaque.toml", "plaque-spoilt.toml")
    )
    differ = [(a, b) for a, b in zip(whole, spoilt, strict=True) if a != b and not a.startswith("#")]
    assert differ == [('program = "plaque.nc"', 'program = "plaque-spoilt.nc"')]
