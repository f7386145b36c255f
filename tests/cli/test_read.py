"""What a person and another program get from ``cutworthy read``."""

import json
import signal
import subprocess
import sys
import time
from itertools import pairwise

import pytest
from pressed import started

# Lengths and heights below are worked out by hand from its text.
COASTER = """\
(Tidewater Workshop: a coaster, zero at its front left corner)
G21 G90 G17 G94 G54
T2 M6
S16000 M3
G0 X0 Y0 Z12
G1 Z-1.5 F240
G1 X90 F1800
G1 Y90
G1 X0
G1 Y0
G0 Z12
T4 M6
S9000 M3
G0 X45 Y45
G4 P1.5
G1 Z-4 F120
G2 X45 Y45 I15 J0
G0 Z40
M5
M30
"""
PAGE = """\
coaster.nc

Every line could be read. That does not say that it is safe to cut.

Units      millimetres (G21)
Zero       at the front left corner of the cuts (they go from X 0 to 90, Y 0 to
           90)
Size       90 mm by 90 mm
Depth      lowest cut 4 mm below zero (line 16), highest 40 mm above it
Bits       bit 2 on line 3, then bit 4 on line 12
Spindle    9000 to 16000 rpm
Feed       120 to 1800 mm/min
Length     483.7 mm cut, 133.1 mm travelled
Moves      12 moves in 20 lines
End        X 45 Y 45 Z 40

Its first moves
  line 5: travels to X 0 Y 0 Z 12
  line 6: cuts straight down to Z -1.5 at 240 mm/min
  line 7: cuts to X 90 Y 0 Z -1.5 at 1800 mm/min
  line 8: cuts to X 90 Y 90 Z -1.5 at 1800 mm/min
  line 9: cuts to X 0 Y 90 Z -1.5 at 1800 mm/min
Its last moves
  line 14: travels to X 45 Y 45 Z 12
  line 15: waits 1.5 s
  line 16: cuts straight down to Z -4 at 120 mm/min
  line 17: cuts a full circle of radius 15 clockwise back to X 45 Y 45 Z -4 at
      120 mm/min
  line 18: travels straight up to Z 40

This reads the program alone. Whether it is fit to cut depends on machine,
board, bit, clamps and zero: prove it.
"""
HEADER = "G21 G90 G17 G94 G54\n"
LONG = HEADER + "".join(f"G0 X{n % 500}\n" for n in range(20_000)) + "M2\n"


@pytest.fixture
def read(command, tmp_path):
    """Read a program that is written to a.nc first."""

    def run(program, *words):
        data = program if isinstance(program, bytes) else program.encode()
        (tmp_path / "a.nc").write_bytes(data)
        return command("read", "a.nc", *words)

    return run


def rows(page):
    """Return what stands beside each word of a page, joined again."""
    told, word = {}, ""
    for line in page.splitlines():
        head, text = line[:11].strip(), line[11:].strip()
        if head and line[:1].isupper():
            word = head
            told[word] = text
        elif not head and text:
            told[word] += f" {text}"
    return told


def test_the_page_of_a_clean_program(command, tmp_path):
    (tmp_path / "coaster.nc").write_text(COASTER, encoding="ascii")
    assert command("read", "coaster.nc") == (0, PAGE, "")


def test_the_page_is_in_the_unit_of_the_program(read):
    _, page, _ = read("G20 G90 G17 G94 G54\nS9000 M3\nG0 X0 Y0 Z0.5\nG1 Z-0.0625 F12.5\nG1 X3.5 Y1.0625\nM5\nM30\n")
    told = rows(page)
    assert told["Units"] == "inches (G20)"
    assert told["Size"] == "3.5 in by 1.062 in"
    assert told["Depth"].startswith("lowest cut 0.062 in below zero (line 4), highest 0.5 in above")
    assert told["Feed"] == "12.5 in/min"
    assert "  line 5: cuts to X 3.5 Y 1.0625 Z -0.0625 at 12.5 in/min\n" in page


def test_a_unit_that_nobody_says_is_told(read):
    code, page, _ = read("G90 G17 G94 G54\nG0 X1\nM2\n")
    assert code == 3
    assert rows(page)["Units"] == "the program does not say; shown in millimetres"


def test_moves_lists_every_move(read):
    _, page, _ = read(COASTER, "--moves")
    told = [line for line in page.splitlines() if line.startswith("  line ")]
    assert [int(line.split()[1].rstrip(":")) for line in told] == [*range(5, 12), *range(14, 19)]
    assert "Its last moves" not in page
    assert read(COASTER)[1].count("\n  line ") == 10


def test_a_short_program_is_told_whole_and_once(read):
    _, page, _ = read(HEADER + "G0 X1\nG0 X2\nG0 X3\nG0 X4\nG0 X5\nG0 X6\nM2\n")
    assert "All its moves" in page
    assert [f"line {n}: " in page for n in range(2, 8)] == [True] * 6
    assert page.count("  line ") == 6


def test_a_problem_of_many_lines_is_one_sentence(read):
    program = HEADER + "G0 X1\n" + "".join(f"G1 X{n} U{n} F500\n" for n in range(100)) + "M2\n"
    code, page, _ = read(program)
    assert code == 1
    assert page.count("[X] NO-GO") == 1
    assert "Lines 3, 4, 5 and 97 more: no word begins with that letter: “U”." in " ".join(page.split())
    assert "(unknown-word)" in page
    assert len(json.loads(read(program, "--json")[1])["problems"]) == 100


def test_problems_come_gravest_first_and_no_more_than_a_page_holds(read):
    many = "".join(f"G{300 + n} X1\n" for n in range(30))
    _, page, _ = read("G90 G17 G94 G54\nG0 X1 ; note\nG0 X2\n" + many)
    marks = [line[:3] for line in page.splitlines() if line.startswith("[")]
    assert marks == ["[X]"] * 10
    assert "And 23 more: --json lists them all." in page  # 20 codes, units-unstated, no-end and the comment
    _, page, _ = read("G90 G17 G94 G54\nG0 X1 ; note\nG0 X2\nG300 X3\n")
    assert [line[:3] for line in page.splitlines() if line.startswith("[")] == ["[X]", "[?]", "[?]", "[i]"]


def test_what_is_lost_with_a_line_is_told(read):
    _, page, _ = read(HEADER + "G0 X1 Y1 Z1\nG0 X1..5\nG0 Y3\nM2\n")
    assert "As far as it could be read:\n" in page
    assert rows(page)["End"] == "not known"
    assert "in doubt)" in page


@pytest.mark.parametrize(
    ("program", "code", "told"),
    [
        (b"", 1, "The program is empty."),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(range(256)) * 4, 1, "The program is no text"),
        (b"(a)\n(b)\n", 3, "none, in 2 lines: it moves nothing"),
        (b"G21\nM2\n", 0, "none, in 2 lines: it moves nothing"),
        (b"G21 G90 G17 G94 G54\nG0 X1 Y2\nM2\n", 0, "none: it only travels or waits"),
        (b"G21 G90 G17 G94 G54\nG1 X1 Y2\nM2\n", 1, "cuts to X 1 Y 2 Z 0, no feed given"),
    ],
)
def test_programs_without_much_in_them(read, program, code, told):
    found, page, err = read(program)
    assert (found, err) == (code, "")
    assert told in page


@pytest.mark.parametrize(
    ("program", "code"),
    [
        (HEADER + "G0 X1 ; a comment\nM2\n", 0),
        (HEADER + "G0 X1\n", 3),
        (HEADER + "G0 X1 U1\nM2\n", 1),
    ],
)
@pytest.mark.parametrize("words", [[], ["--moves"], ["--json"], ["--json-lines"]])
def test_the_exit_code_is_that_of_the_worst_problem(read, program, code, words):
    assert read(program, *words)[0] == code


def test_json_lines_are_the_move_list(read):
    document = json.loads(read(COASTER, "--json")[1])
    code, out, err = read(COASTER, "--json-lines")
    assert (code, err) == (0, "")
    assert [json.loads(line) for line in out.splitlines()] == document["move_list"]
    assert document["moves"] == len(document["move_list"]) == 12
    assert document["move_list"][10]["turns"] == -1.0


def test_json_is_laid_out_as_ever(read):
    for program in (COASTER, "M2\n"):
        out = read(program, "--json")[1]
        assert out == json.dumps(json.loads(out), indent=1) + "\n"


def test_json_and_json_lines_are_not_both(read):
    code, out, err = read(COASTER, "--json", "--json-lines")
    assert (code, out) == (2, "")
    assert "give only one of the two" in err


@pytest.mark.parametrize("words", [["--json-lines"], ["--json"], ["--moves"]])
def test_a_reader_that_has_read_enough(words, tmp_path):
    (tmp_path / "long.nc").write_text(LONG, encoding="ascii")
    command = [sys.executable, "-m", "cutworthy", "read", "long.nc", *words]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=tmp_path) as running:
        assert running.stdout.readline()
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait() == 0


@pytest.mark.skipif(sys.platform == "win32", reason="a process there cannot be sent Ctrl-C alone")
def test_ctrl_c_in_the_middle_of_a_stream(tmp_path):
    (tmp_path / "long.nc").write_text(LONG, encoding="ascii")
    with started("read", "long.nc", "--json-lines", cwd=tmp_path) as running:
        running.stdout.readline()  # the pipe is full, and the command waits for us
        time.sleep(0.2)
        running.send_signal(signal.SIGINT)
        out, err = running.communicate()
    assert running.returncode == 130
    assert err == b"Stopped.\n"
    assert 0 < out.count(b"\n") < 20_000


def test_pieces_of_a_long_program_are_its_moves(read):
    # Longer than what is worked out together, with arcs and dwells on both sides of the seams.
    step = "G1 X1 F100\nG2 X0 Y0 I-0.5 J0\nG4 P0.5\nG0 Z1\nG0 Z0\n"
    document = json.loads(read(HEADER + step * 4000 + "M2\n", "--json")[1])
    moves = document["move_list"]
    assert len(moves) == document["moves"] == 20_000
    assert {move["turns"] for move in moves if move["kind"] == "arc"} == {-0.5}
    assert [move["line"] for move in moves if move["seconds"] == 0.5] == list(range(4, 20_002, 5))
    for before, after in pairwise(moves):
        assert after["start_mm"] == before["end_mm"]


@pytest.mark.parametrize("words", [[], ["--moves"], ["--json"], ["--json-lines"]])
def test_text_of_a_program_is_data(read, words):
    _, out, err = read(HEADER + "G0 X1 \x1b[31m\nG0 [bold]X2[/]\nG301 (\u202eevil)\nU5 <b>\nM2\n", *words)
    assert not set(out + err) & {"\x1b", "\x07", "\u202e"}


def test_the_name_of_a_program_is_data(command, tmp_path):
    (tmp_path / "[red]a\x1b[31m.nc").write_text("M2\n", encoding="ascii")
    _, out, _ = command("read", "[red]a\x1b[31m.nc")
    assert out.startswith("[red]a\\x1b[31m.nc\n")


LENGTHS = HEADER + "T1 M6\nS9000 M3\nG43 H1\nG0 X0 Y0 Z20\nG1 Z-1 F300\nG1 X9\nG0 Z20\nM30\n"


def test_lengths_of_bits(read, tmp_path):
    code, page, _ = read(LENGTHS)
    assert code == 3
    assert "Give the lengths with --tools" in page
    (tmp_path / "bits.toml").write_text('[[bits]]\ntool = 1\ndiameter = "6 mm"\nlength = "52.5 mm"\n', encoding="utf-8")
    code, page, _ = read(LENGTHS, "--tools", "bits.toml")
    assert code == 0
    assert rows(page)["Depth"].startswith(
        "lowest cut 51.5 mm above zero (line 6), highest 72.5 mm above it; heights are"
    )
    document = json.loads(read(LENGTHS, "--tools", "bits.toml", "--json")[1])
    assert [move["end_mm"][2] for move in document["move_list"]] == [72.5, 51.5, 51.5, 72.5]
    assert document["end_mm"][2] == 20.0


def test_a_diameter_from_a_job_card_shifts_the_path(read, workshop):
    program = HEADER + "T1 M6\nS9000 M3\nG0 X0 Y0 Z5\nG41 D1\nG1 X20 F500\nG1 Y-30\nG40\nM30\n"
    job = workshop.write()  # its bit 1 is 6 mm wide
    plain = json.loads(read(program, "--json")[1])
    shifted = json.loads(read(program, "--json", "--tools", str(job))[1])
    assert plain["move_list"] != shifted["move_list"]
    assert shifted["move_list"][-1]["end_mm"] == [23.0, -30.0, 5.0]  # to the left of a way to the front, by its radius


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            '[[bits]]\ntool = 1\nlenght = "5 mm"\n',
            "bits.toml, line 3: bits[1].lenght: there is no such key; did you mean",
        ),
        ("[[bits]]\ntool = 1\nlength = 52\n", 'write length = "52 mm"'),
        ('[[bits]]\nlength = "5 mm"\n', "bits[1].tool: is missing; write tool = 1"),
        ("[[bits]]\ntool = 1\n[[bits]]\ntool = 1\n", "line 4: bits[2].tool: stands at bits[1] too"),
        ("bits = 3\n", "bits: 3 is no table; write the table [[bits]] with tool"),
        ("bits = [3]\n", "bits[1]: 3 is no table; write the table [[bits]] with tool"),
        ("[bits]\ntool = 1\n", "bits: stands in single brackets, and there may be several; write the table [[bits]]"),
        ("[[bits]]\ntool = \n", "line 2"),
        ("[axes.x]\n", "this is a machine card, and a list of bits is needed"),
        ("", "is empty"),
    ],
)
def test_bad_lists_of_bits(read, tmp_path, text, told):
    (tmp_path / "bits.toml").write_text(text, encoding="utf-8")
    code, out, err = read(LENGTHS, "--tools", "bits.toml")
    assert (code, out) == (2, "")
    assert told in err


def test_all_mistakes_of_a_list_at_once(read, tmp_path):
    text = 'bts = 1\n[[bits]]\ntool = 1\nlength = "5,2 mm"\ndiameter = 6\n'
    (tmp_path / "bits.toml").write_text(text, encoding="utf-8")
    err = read(LENGTHS, "--tools", "bits.toml")[2]
    assert [line.split(":")[0] for line in err.splitlines()] == [f"bits.toml, line {n}" for n in (1, 4, 5)]


@pytest.mark.parametrize(
    ("words", "helps"),
    [(["read", "a.nc", "--tool"], "cutworthy read"), (["nonsense"], "cutworthy"), (["read"], "cutworthy read")],
)
def test_what_was_typed_wrong_is_answered_with_the_right_help(command, words, helps):
    code, out, told = command(*words)
    assert (code, out) == (2, "")
    assert told.endswith(f"Try: {helps} --help\n")
