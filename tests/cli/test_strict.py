"""Every line that the open standard refuses and practice accepts is told in words."""

import pytest

from cutworthy.cli import main


@pytest.mark.parametrize(
    "program",
    [
        b"G21 G0 X1 ; to the rail\nM2\n",
        b"\xef\xbb\xbfG21 G0 X1\nM2\n",
        b"% NAME\nG21 G0 X1\n%\n",
        b"G21 G0 X1\n%\n",
        b"%\nG21 G0 X1\n",
        b"N000010 G21 G0 X1\nM2\n",
        b"N1.5 G21 G0 X1\nM2\n",
        b"/2 G21 G0 X1\nM2\n",
        b"G21 G0 X10\nG2 I-5 F500\nM2\n",
        b"G21 G0 X10\nG2 X0 I-5 K0 F500\nM2\n",
        b"G21 G0 X10 H1\nM2\n",
        b"G21 G0 X10 (" + b"x" * 300 + b")\nM2\n",
        b"G0 G28 Z0\nM2\n",
        b"G21 G0\nX1\nM2\n",
    ],
)
def test_a_strict_reading_is_told_in_words(program, tmp_path, monkeypatch, capsys):
    (tmp_path / "a.nc").write_bytes(program)
    monkeypatch.setattr("sys.argv", ["cutworthy", "read", str(tmp_path / "a.nc"), "--strict"])
    with pytest.raises(SystemExit) as leaving:
        main.run()
    assert leaving.value.code == 1
    assert "[X] NO-GO" in capsys.readouterr().out
