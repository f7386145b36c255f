"""A short run of the fuzzer, the same every time: ``make fuzz`` runs it as long as there is time."""

import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest

RUNS = 1500  # about ten seconds


@pytest.mark.slow
@pytest.mark.skipif(find_spec("atheris") is None, reason="atheris is to be had for Linux on x86_64 only")
def test_nothing_the_fuzzer_makes_breaks_the_reader(tmp_path):
    harness = Path(__file__).with_name("fuzz_reader.py")
    command = [sys.executable, str(harness), str(tmp_path), "-seed=1", f"-runs={RUNS}"]
    ran = subprocess.run(command, capture_output=True, check=False, timeout=300)
    failed = {
        path.name: path.read_bytes() for kind in ("crash", "timeout", "oom") for path in tmp_path.glob(f"{kind}-*")
    }
    told = ran.stderr.decode("utf-8", "replace")
    assert not failed, f"one byte for each option, then the program: {failed}\n{told[-4000:]}"
    assert ran.returncode == 0, told[-4000:]
    assert f"Done {RUNS} runs" in told
