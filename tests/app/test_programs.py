"""What a person sees while a long program is read, and files that are no programs at rest."""

import os
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from cutworthy.app.files import read_program
from cutworthy.app.programs import progress_label
from cutworthy.errors import FileError
from cutworthy.kernels import compiling


def test_the_first_long_program_says_why_it_waits(tmp_path: Path, monkeypatch: Any) -> None:
    long, short = tmp_path / "long.nc", tmp_path / "short.nc"
    long.write_bytes(b"G1 X1\n" * 200_000)
    short.write_bytes(b"G1 X1\n")
    monkeypatch.setattr(compiling, "is_kept", lambda: False)
    assert "once" in progress_label(long)
    assert progress_label(short) == progress_label(tmp_path / "none.nc") == "Reading"
    monkeypatch.setattr(compiling, "is_kept", lambda: True)
    assert progress_label(long) == "Reading"


def test_a_file_that_grows(tmp_path: Path) -> None:
    file, done = tmp_path / "growing.nc", threading.Event()
    file.write_bytes(b"G0 X1\n" * 1_000_000)

    def write_on() -> None:
        with file.open("ab") as end:
            while not done.is_set():
                end.write(b"G0 X1\n" * 1000)
                end.flush()

    writer = threading.Thread(target=write_on)
    writer.start()
    try:
        time.sleep(0.05)
        with pytest.raises(FileError, match="changes while it is read"):
            read_program(file)
    finally:
        done.set()
        writer.join()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_no_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileError, match="no file that ends"):
        read_program(pipe)
