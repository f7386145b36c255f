import sys

import pytest

from cutworthy.cli import main


@pytest.fixture
def command(monkeypatch, capsys, tmp_path):
    """Run a command in an empty folder; return exit code, standard output and standard error."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["cutworthy", *map(str, words)])
        with pytest.raises(SystemExit) as leaving:
            main.run()
        return leaving.value.code, *capsys.readouterr()

    return run
