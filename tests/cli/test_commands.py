import ctypes
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from pressed import started

from cutworthy.cli import interrupt

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
EARLY_S = 0.4


def test_without_a_command_it_helps(command):
    code, out, _ = command()
    assert code == 0
    for name in ("demo", "new", "prove", "read", "settings", "sheet"):
        assert name in out


def test_the_demo_writes_its_outcome_and_pictures(command, tmp_path):
    code, out, _ = command("demo")
    assert code == 0
    assert out.startswith("[+] GO")
    outcome = json.loads((tmp_path / "cutworthy-demo" / "outcome.json").read_text(encoding="utf-8"))
    asks = [finding["id"] for finding in outcome["findings"] if finding["level"] == "ask"]
    assert (outcome["verdict"], asks) == ("go", [])
    for name in ("plan.png", "board.png"):
        assert (tmp_path / "cutworthy-demo" / name).read_bytes().startswith(b"\x89PNG")
    assert command("demo")[0] == 0  # and may write over its own


def test_the_readme_shows_what_the_demo_prints(command):
    _, out, _ = command("demo")
    readme = (TIDEWATER.parents[1] / "README.md").read_text(encoding="utf-8")
    page, _, _ = out.partition("\nWritten:")
    assert page.rstrip() in readme


@pytest.mark.parametrize("name", ["plan.png", "board.png"])
def test_the_demo_draws_over_nobody_elses_picture(command, tmp_path, name):
    mine = tmp_path / "cutworthy-demo" / name
    mine.parent.mkdir()
    mine.write_bytes(b"\x89PNG\r\n\x1a\n my own drawing")
    code, _, err = command("demo")
    assert code == 2
    assert "choose another name" in err
    assert mine.read_bytes().endswith(b"my own drawing")
    mine.unlink()
    mine.mkdir()
    assert command("demo")[0] == 2


def test_a_reader_that_goes_away_does_not_change_the_verdict(tmp_path):
    for words in ([], ["--json"]):
        command = [sys.executable, "-m", "cutworthy", "prove", str(TIDEWATER / "plaque.toml"), *words]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=tmp_path) as running:
            running.stdout.close()
            assert running.stderr.read() == b""
            assert running.wait() == 0


def test_the_demo_writes_over_nobody_elses_file(command, tmp_path):
    mine = tmp_path / "cutworthy-demo" / "outcome.json"
    mine.parent.mkdir()
    mine.write_text("my notes", encoding="utf-8")
    code, _, err = command("demo")
    assert code == 2
    assert "choose another name" in err
    assert mine.read_text(encoding="utf-8") == "my notes"


def test_the_spoilt_plaque_is_refused_for_the_planted_reason(command):
    code, out, _ = command("prove", TIDEWATER / "plaque-spoilt.toml", "--json")
    outcome = json.loads(out)
    worst = outcome["findings"][0]
    assert code == 1
    assert (worst["id"], worst["about"], worst["line"]) == ("clamp-hit", "left", _line("G0 X-20 Y70"))
    # The clamp stands 25 mm on the table, the board's top is at 18, the bit passes at 3 above it.
    assert worst["numbers"]["value"] == pytest.approx(-4.0)


def _line(text):
    return (TIDEWATER / "plaque-spoilt.nc").read_text(encoding="ascii").splitlines().index(text) + 1


# Heron's motors and spindle have no labels on its card.
HERON_ASKS = {
    "number-needed", "speed-too-high", "buckling", "voltage-high", "lost-step-risk", "power-short",
}  # fmt: skip


@pytest.mark.parametrize(
    ("card", "code", "asks"),
    [
        ("plaque.toml", 0, set()),
        ("tray.toml", 3, HERON_ASKS),
    ],
)
def test_examples(command, card, code, asks):
    found, out, _ = command("prove", TIDEWATER / card, "--json")
    outcome = json.loads(out)
    assert found == code
    assert {finding["id"] for finding in outcome["findings"] if finding["level"] == "ask"} == asks


def test_heron_with_its_labels_asks_nothing_more(command):
    labels = TIDEWATER / "heron-with-labels.toml"
    _, out, _ = command("prove", TIDEWATER / "tray.toml", "--machine", labels, "--json")
    outcome = json.loads(out)
    assert [f["id"] for f in outcome["findings"] if f["level"] == "ask"] == []


def test_several_machines_one_line_each_and_the_worst_exit_code(command):
    both = [word for name in ("plover", "heron") for word in ("--machine", TIDEWATER / f"{name}.toml")]
    code, out, _ = command("prove", TIDEWATER / "plaque-spoilt.toml", *both)
    lines = [line for line in out.splitlines() if line.startswith("[")]
    assert code == 1
    assert len(lines) == 2
    assert "Plover" in lines[0]
    _, out, _ = command("prove", TIDEWATER / "plaque.toml", *both, "--json")
    assert [outcome["verdict"] for outcome in json.loads(out)["outcomes"]] == ["go", "ask"]


def test_save_and_working(command, tmp_path):
    code, out, _ = command("prove", TIDEWATER / "plaque.toml", "--save", tmp_path / "o.json", "--working")
    assert code == 0
    assert "Working" in out
    saved = json.loads((tmp_path / "o.json").read_text(encoding="utf-8"))
    assert {"name", "formula", "inputs", "value", "unit", "source"} <= saved["working"][0].keys()
    (tmp_path / "o.json").write_text("{}", encoding="utf-8")
    code, _, err = command("prove", TIDEWATER / "plaque.toml", "--save", tmp_path / "o.json")
    assert code == 2
    assert "o.json" in err


def test_starter_cards(command, tmp_path):
    code, out, _ = command("new", "machine")
    assert code == 0
    assert "[machine]" in out
    assert command("new", "job", "job.toml")[0] == 0
    text = (tmp_path / "job.toml").read_text(encoding="utf-8")
    code, _, err = command("new", "job", "job.toml")
    assert code == 2
    assert "left as it is" in err
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == text
    code, _, err = command("prove", "job.toml")
    assert code == 2
    assert "not filled in" in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["prove"], "JOB.toml"),
        (["prove", "nothing.toml"], "nothing.toml"),
        (["prove", "."], "folder"),
        (["new", "planer"], "planer"),
        (["porve", "x"], "porve"),
        (["prove", "x.toml", "--quick"], "--quick"),
    ],
)
def test_wrong_commands_say_what_is_wrong(command, words, told):
    code, out, err = command(*words)
    assert code == 2
    assert out == ""
    assert told in err
    assert "Traceback" not in err


def test_ctrl_c_is_clean(command, monkeypatch):
    def interrupted(*_args, **_kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("cutworthy.app.proofs.prove", interrupted)
    code, out, err = command("prove", TIDEWATER / "plaque.toml")
    assert (code, out) == (130, "")
    assert err == "Stopped.\n"


def test_our_own_fault_is_written_down(command, monkeypatch):
    def broken(*_args, **_kwargs):
        raise RuntimeError

    monkeypatch.setattr("cutworthy.app.proofs.prove", broken)
    code, _, err = command("prove", TIDEWATER / "plaque.toml")
    assert code == 4
    file = Path(err.split()[-1])
    assert "RuntimeError" in file.read_text(encoding="utf-8")
    file.unlink()


def test_read_says_what_a_program_says(command):
    code, out, _ = command("read", TIDEWATER / "tray.nc", "--json")
    told = json.loads(out)
    assert code == 0
    assert told["units"] == "inch"
    assert told["moves"] == len(told["move_list"])
    code, out, _ = command("read", TIDEWATER / "tray.nc")
    assert code == 0
    assert "inches" in out


def test_read_leaves_with_the_worst_level_of_its_problems(command, tmp_path):
    (tmp_path / "a.nc").write_text("G21 G90 G17 G94 G54\nG1 X1\nM2\n", encoding="ascii")
    assert command("read", "a.nc")[0] == 1
    (tmp_path / "a.nc").write_text("G90 G17 G94 G54\nG0 X1\nM2\n", encoding="ascii")
    assert command("read", "a.nc")[0] == 3


def test_the_installed_command_in_a_pipe(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "cutworthy", "prove", str(TIDEWATER / "plaque.toml")],
        capture_output=True, cwd=tmp_path, env=os.environ | {"PYTHONIOENCODING": "ascii"}, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert b"\x1b" not in done.stdout
    assert done.stderr == b""


def test_a_ticket_is_written_whatever_the_verdict(command, tmp_path):
    for name in ("plaque", "plaque-spoilt"):
        code, out, err = command("sheet", "job", TIDEWATER / f"{name}.toml")
        file = tmp_path / f"{name}-ticket.pdf"
        assert (code, err) == (0, "")
        assert file.name in out
        assert file.read_bytes().startswith(b"%PDF-")
    assert "NO-GO" in out
    told = json.loads(command("sheet", "job", TIDEWATER / "plaque-spoilt.toml", "--to", "a.pdf", "--json")[1])
    assert told == {"kind": "job", "file": "a.pdf", "verdict": "no-go"}
    code, _, err = command("sheet", "job", TIDEWATER / "plaque.toml", "--to", "a.png")
    assert (code, "ends in .pdf" in err) == (2, True)


def test_the_first_day_and_forms_on_paper(command, tmp_path):
    code, out, err = command("sheet", "firstday", TIDEWATER / "plover.toml", "--days", "2")
    assert (code, err) == (0, "")
    assert "plover-firstday.pdf" in out
    assert (tmp_path / "plover-firstday.pdf").read_bytes().startswith(b"%PDF-")
    code, out, _ = command("sheet", "readings", "tram")
    assert code == 0
    assert (tmp_path / "readings-tram.pdf").read_bytes().startswith(b"%PDF-")
    code, _, err = command("sheet", "readings", "taste")
    assert code == 2
    assert "no kind of readings" in err


@pytest.mark.skipif(sys.platform == "win32", reason="a process there cannot be sent Ctrl-C alone")
@pytest.mark.parametrize("after_s", [EARLY_S, 0.8, 1.2])
def test_ctrl_c_at_any_moment_of_a_long_proof_is_quiet(tmp_path, after_s):
    program = "G21 G90 G17\nS18000 M3\nG0 Z5\nF1200\n" + "".join(
        f"G1 X{n % 1000 / 4} Y{n // 1000} Z-{n % 7 / 10}\n" for n in range(300_000)
    )
    for name in ("plover.toml", "plaque.toml"):
        shutil.copy(TIDEWATER / name, tmp_path)
    (tmp_path / "plaque.nc").write_text(program + "G0 Z5\nM2\n", encoding="ascii")
    with started("prove", "plaque.toml", cwd=tmp_path) as running:
        time.sleep(after_s)
        running.send_signal(signal.SIGINT)
        out, err = running.communicate()
    assert b"Traceback" not in err
    # By the later moments a fast machine may be done, or have said all and be leaving; by the first none is.
    if after_s == EARLY_S or (running.returncode != 1 and out == b""):
        assert err.decode().splitlines()[-1] == "Stopped."
        assert running.returncode in {130, -signal.SIGINT}  # the same to a shell


def test_a_ctrl_c_that_a_call_back_lost_is_not_told_of(capfd, monkeypatch):
    """Compiled code that is being prepared calls back: what is raised there goes nowhere but to the hook."""
    monkeypatch.setattr(signal, "getsignal", lambda _number: signal.default_int_handler)
    monkeypatch.setattr(signal, "signal", lambda _number, _handler: None)
    monkeypatch.setattr(sys, "unraisablehook", sys.__unraisablehook__)
    interrupt.listen()
    for kind, told in ((KeyboardInterrupt, False), (ValueError, True)):

        @ctypes.CFUNCTYPE(None)
        def back(kind=kind):
            raise kind

        back()
        assert ("Traceback" in capfd.readouterr().err) == told
