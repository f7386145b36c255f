"""The heron relief: a long job that a script of the examples writes."""

import importlib.util
import json
import re
import subprocess
import sys
import tomllib
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest

from cutworthy.program import ReadOptions, read_program

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
SCRIPT = TIDEWATER / "relief.py"
FEW = 6000  # lines: the same job with wider rows
CUT = re.compile(r"G1 X(\S+) Y(\S+) Z(\S+)")
EXPECTED = {"chip-thin", "spindle-off", "bit-change", "growl", "feed-unreachable"}


def write(folder, *words):
    subprocess.run([sys.executable, SCRIPT, "--to", folder, *words], check=True)
    return folder


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("relief", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    sys.modules["relief"] = module  # its records look for themselves there
    spec.loader.exec_module(module)
    yield module
    del sys.modules["relief"]


@pytest.fixture(scope="module")
def short(tmp_path_factory):
    """The folder of a short relief."""
    return write(tmp_path_factory.mktemp("short"), "--lines", str(FEW))


@pytest.fixture(scope="module")
def long(tmp_path_factory):
    """The folder of the whole relief."""
    return write(tmp_path_factory.mktemp("long"))


def lines_of(folder):
    return (folder / "heron-relief.nc").read_text(encoding="ascii").splitlines()


def cuts_of(folder):
    """Return the cuts of the flat bit and of the ball bit: places from the panel's corner, from lift to lift."""
    change = lines_of(folder).index("T2 M6")
    found = []
    for lines in (lines_of(folder)[:change], lines_of(folder)[change:]):
        runs = (map(CUT.match, run) for fed, run in groupby(lines, key=lambda line: line.startswith("G1 ")) if fed)
        found.append([np.array([[float(word) for word in cut.groups()] for cut in run]) - (30, 30, 0) for run in runs])
    return found


def check_proof(command, folder):
    """Prove the job: nothing is asked."""
    code, out, err = command("prove", folder / "heron-relief.toml", "--json")
    assert (code, err) == (0, "")
    told = json.loads(out)
    asks = [finding["id"] for finding in told["findings"] if finding["level"] == "ask"]
    assert (told["verdict"], asks) == ("go", [])
    assert {finding["id"] for finding in told["findings"]} <= EXPECTED


def check_reading(folder):
    """Read it: nothing is said against it, strictly neither, and it stays on the board and above its floor."""
    data = (folder / "heron-relief.nc").read_bytes()
    for strict in (True, False):
        reading = read_program(data, ReadOptions(strict=strict), lambda _share: None)
        assert not reading.problems
    card = tomllib.loads((folder / "heron-relief.toml").read_text(encoding="utf-8"))
    wide, deep, _ = (float(size.removesuffix(" mm")) for size in card["board"]["size"])
    radius = 3
    assert reading.cut is not None
    (left, front, floor), (right, back, top) = reading.cut.low_mm, reading.cut.high_mm
    assert radius < left < right < wide - radius
    assert radius < front < back < deep - radius
    assert -6 < floor < -5
    assert top <= 15


def test_a_short_one_reads_and_proves(short, command):
    assert 0.9 * FEW < len(lines_of(short)) < 1.1 * FEW
    check_reading(short)
    check_proof(command, short)
    assert (short / "plover.toml").read_bytes() == (TIDEWATER / "plover.toml").read_bytes()


def test_it_is_the_same_to_the_byte(short, tmp_path):
    again = write(tmp_path / "again", "--lines", str(FEW))
    for name in ("heron-relief.nc", "heron-relief.toml", "plover.toml"):
        assert (again / name).read_bytes() == (short / name).read_bytes()


@pytest.mark.parametrize("lines", ["3999", "2000001", "many"])
def test_a_number_of_lines_out_of_reason_is_refused(lines, tmp_path):
    words = [sys.executable, SCRIPT, "--to", tmp_path / "none", "--lines", lines]
    ran = subprocess.run(words, capture_output=True, text=True, check=False)
    assert ran.returncode == 2
    assert "--lines" in ran.stderr
    assert not (tmp_path / "none").exists()


def test_each_line_down_is_slow_or_a_ramp(short):
    """No fast travel goes below the board's top, and nothing goes straight down faster than a plunge."""
    x = y = z = feed = None
    for line in lines_of(short):
        words = {word[0]: float(word[1:]) for word in line.split() if line.startswith(("G0 ", "G1 "))}
        to = (words.get("X", x), words.get("Y", y), words.get("Z", z))
        feed = words.get("F", feed)
        if words.get("G") == 0:
            assert to[2] > 0
        elif words and to[:2] == (x, y) and to[2] < z:
            assert feed <= 300
        x, y, z = to


def depth_of_wood(relief, x, y):
    """Return the height of the relief between its places, which stand in a grid."""
    across, along = x / relief.step_x + relief.rim_x, y / relief.step_y + relief.rim_y
    i, j = across.astype(int), along.astype(int)
    u, v, z = across - i, along - j, relief.heights
    return z[i, j] * (1 - u) * (1 - v) + z[i + 1, j] * u * (1 - v) + z[i, j + 1] * (1 - u) * v + z[i + 1, j + 1] * u * v


def along(places, count):
    """Return places spread over the cuts from each place to the next."""
    t = np.linspace(0, 1, count, endpoint=False)[None, :, None]
    return (places[:-1, None] * (1 - t) + places[1:, None] * t).reshape(-1, 3)


def under(places, radius, rng):
    """Return how far places under the bit, one for each place of its tip, lie from its middle."""
    away, way = radius * np.sqrt(rng.random(len(places))), rng.uniform(0, 2 * np.pi, len(places))
    return away, places[:, 0] + away * np.cos(way), places[:, 1] + away * np.sin(way)


def check_cuts(script, folder, lines):
    """Nowhere does a bit reach into the relief: the flat one leaves wood on, the ball next to none."""
    relief = script.panel(*script.spacing(lines))
    rng = np.random.default_rng(6)
    flat, (ball,) = cuts_of(folder)
    for _ in range(10):
        tips = along(ball, 3)
        away, x, y = under(tips, 1.5, rng)
        assert (tips[:, 2] + 1.5 - np.sqrt(1.5**2 - away**2) - depth_of_wood(relief, x, y)).min() > -0.001
    for run in flat:
        tips = along(run, 100)
        _, x, y = under(tips, 3.0, rng)
        assert (tips[:, 2] - depth_of_wood(relief, x, y)).min() > 0.3
    left = ball[:, 2] - depth_of_wood(relief, ball[:, 0], ball[:, 1])
    assert np.quantile(left, 0.25) < 0.05


def test_no_bit_reaches_into_a_short_one(script, short):
    check_cuts(script, short, FEW)


@pytest.mark.slow
def test_the_whole_one_is_long_reads_proves_and_spares_the_relief(script, long, command):
    assert 200_000 <= len(lines_of(long)) <= 220_000
    check_reading(long)
    check_proof(command, long)
    check_cuts(script, long, script.LINES)
    _, (ball,) = cuts_of(long)
    steps = np.hypot(*np.diff(ball[:, :2], axis=0).T)
    assert 0.25 < np.median(steps) < 0.4
