"""The kernels of the reader: each beside its slow twin; what they must be to be kept and trusted."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numba
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutworthy.errors import Stopped
from cutworthy.kernels import census, compiling, digits, lines
from cutworthy.model.program import Kind, Plane
from cutworthy.program import ReadOptions, arcs, fast, grammar, motion, read_program, reader, real

COMPILED = not numba.config.DISABLE_JIT
CACHE_VARIABLES = ("XDG_CACHE_HOME", "HOME", "LOCALAPPDATA")  # of Linux, macOS and Windows
SOURCES = Path(compiling.__file__).parent


@settings(deadline=None)  # the first example waits for the compiler
@given(st.from_regex(r"[0-9]{0,9}[^0-9]{0,9}", fullmatch=True).filter(str.isascii))
def test_digits_together_and_one_by_one(text: str) -> None:
    data = np.frombuffer((text + 16 * " ").encode(), dtype=np.uint8)
    count = min(len(text) - len(text.lstrip("0123456789")), digits.AHEAD)
    expected = (int(text[:count] or "0"), count)
    assert tuple(map(int, digits.one_by_one(data, 0))) == expected
    assert tuple(map(int, digits.digits(data, 0))) == expected


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_census(data: bytes) -> None:
    codes = np.frombuffer(data, dtype=np.uint8)
    invisible = sum(byte < 32 or byte == 127 for byte in data)
    assert census.count_bytes(codes, 0, len(codes)) == (data.count(b"\n"), data.count(b"\r"), invisible)
    assert census.count_line_feeds(codes, 0, len(codes)) == data.count(b"\n")


def test_measure() -> None:
    # Two sides of a 3-4-5 triangle fed, one travelled, an arc and a dwell left out of the lengths.
    places = np.array([[0, 0, 0], [3, 0, 0], [3, 4, 0], [0, 0, 0], [9, 9, 9], [9, 9, 9]], dtype=np.float64)
    boxes = np.array([[np.inf] * 3, [-np.inf] * 3] * 2)
    kinds = np.array([1, 1, 0, 2, 3], dtype=np.uint8)
    kinds.flags.writeable = False  # as the columns of a program are
    assert census.measure(kinds, places, boxes) == pytest.approx((7, 5))
    assert boxes.tolist() == [[0, 0, 0], [9, 9, 9], [0, 0, 0], [3, 4, 0]]


MOVES = 60_000


def long_program() -> bytes:
    """Return a program long enough for all kernels, and for two stretches at a time."""
    body = "".join(f"G1 X{row % 97}.{row % 7} Y{row % 89} Z-{row % 5}\n" for row in range(MOVES))
    return ("G21 G90 G17 G94 G54\nG0 X1 Y1 Z5 F900\n" + body + "G2 X5 Y5 R400\nM2\n").encode()


def test_a_long_program_goes_through_the_kernels() -> None:
    program = read_program(long_program(), ReadOptions(), lambda _share: None)
    assert (program.lines, len(program.track)) == (MOVES + 4, MOVES + 2)
    assert program.end_mm == (5, 5, -4)


@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_each_kernel_has_one_signature() -> None:
    read_program(long_program(), ReadOptions(), lambda _share: None)
    kernels = (lines.obey_lines, census.count_bytes, census.count_line_feeds, census.measure)
    assert [len(kernel.signatures) for kernel in kernels] == [1, 1, 1, 1]
    assert all(kernel.targetoptions["nogil"] and not kernel.targetoptions.get("parallel") for kernel in kernels)


@pytest.mark.slow
@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_a_changed_helper_is_noticed(tmp_path: Path) -> None:
    """A kernel kept on disk must not outlive a change in another file that it calls."""
    package = tmp_path / "cutworthy" / "kernels"
    package.mkdir(parents=True)
    (package.parent / "__init__.py").touch()
    (package / "__init__.py").touch()
    shutil.copy(SOURCES / "compiling.py", package)
    (package / "outer.py").write_text(
        "from cutworthy.kernels.compiling import compiled\nfrom cutworthy.kernels.inner import add\n\n\n"
        "@compiled\ndef go(number):\n    return add(number)\n"
    )
    answers = []
    for more in (1, 1, 1000):
        (package / "inner.py").write_text(
            "from cutworthy.kernels.compiling import inlined\n\n\n"
            f"@inlined\ndef add(number):\n    return number + {more}\n"
        )
        done = subprocess.run(
            [sys.executable, "-c", "from cutworthy.kernels.outer import go; print(go(1))"],
            env=os.environ | {"PYTHONPATH": str(tmp_path), **dict.fromkeys(CACHE_VARIABLES, str(tmp_path / "kept"))},
            capture_output=True,
            text=True,
            check=True,
        )
        answers.append(int(done.stdout))
    assert answers == [2, 2, 1001]


@pytest.fixture
def short_stretches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a long program hold many stretches, each of some thousand lines."""
    monkeypatch.setattr(fast, "SLICE", 1 << 16)
    monkeypatch.setattr(fast, "LEAST_SLICE", 1 << 15)
    monkeypatch.setattr(reader, "FAR", 1 << 17)


@pytest.mark.usefixtures("short_stretches")
def test_progress_is_told_of_kernels_too() -> None:
    shares: list[float] = []
    read_program(long_program(), ReadOptions(), shares.append)
    assert len(shares) > 2
    assert shares == sorted(shares)
    assert shares[-1] == 1


@pytest.mark.usefixtures("short_stretches")
def test_a_reading_can_be_stopped() -> None:
    def stop(share: float) -> None:
        if share > 0.1:
            raise Stopped

    with pytest.raises(Stopped):
        read_program(long_program(), ReadOptions(), stop)


@pytest.mark.slow
@pytest.mark.skipif(not COMPILED, reason="nothing is compiled")
def test_what_is_kept_and_damaged_is_made_anew(tmp_path: Path) -> None:
    reads = (
        "from cutworthy.kernels import compiling, reading\n"
        "print(compiling.is_kept()); reading.ready(); print(compiling.is_kept(), compiling.folder())"
    )
    kept = os.environ | dict.fromkeys(CACHE_VARIABLES, str(tmp_path))

    def told() -> list[str]:
        done = subprocess.run([sys.executable, "-c", reads], env=kept, capture_output=True, text=True, check=True)
        return done.stdout.split()

    old, other = (tmp_path / "cutworthy" / name for name in ("kernels-old", "kernels-other"))
    for folder in (old, other):
        folder.mkdir(parents=True)
        (folder / compiling.READY).touch()
    os.utime(old / compiling.READY, (0, 0))
    assert told()[:2] == ["False", "True"]
    if sys.platform == "linux":  # elsewhere the folder has another name
        assert (old.exists(), other.exists()) == (False, True)
    for file in Path(told()[2]).rglob("*.nb*"):
        file.write_bytes(file.read_bytes()[:100])
    assert told()[:2] == ["True", "True"]
    assert all(file.stat().st_size > 100 for file in Path(told()[2]).rglob("*.nbc"))


def test_the_twins_go_by_the_same_numbers() -> None:
    same = {
        "LONGEST_LINE": grammar.LONG,
        "LINE_NUMBER_DIGITS": grammar.LINE_NUMBER_DIGITS,
        "LARGEST": real.LARGEST,
        "SAME_MM": arcs.SAME_MM,
        "NEARLY_FULL": motion.NEARLY_FULL,
        "RAPID": Kind.RAPID,
        "LINE": Kind.LINE,
        "ARC_KIND": Kind.ARC,
        "XY": Plane.XY,
    }
    assert {name: getattr(lines, name) for name in same} == same
    assert (census.RAPID, census.LINE, census.ARC) == (Kind.RAPID, Kind.LINE, Kind.ARC)
