"""What a person sees while a long program is read, and files that are no programs at rest."""

import os
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


def test_a_file_that_grows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, opened = tmp_path / "growing.nc", Path.open
    file.write_bytes(b"G0 X1\n" * 1000)

    def open_while_another_writes(path: Path, mode: str) -> Any:
        with opened(path, "ab") as end:
            end.write(b"G0 X1\n")
        return opened(path, mode)

    monkeypatch.setattr(Path, "open", open_while_another_writes)
    with pytest.raises(FileError, match="changes while it is read"):
        read_program(file)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_no_file(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(FileError, match="no file that ends"):
        read_program(pipe)
