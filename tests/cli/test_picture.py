"""``cutworthy picture``: what it draws, where it writes, what it says, what it refuses."""

import json
import shutil
from pathlib import Path

import pytest

TIDEWATER = Path(__file__).parents[2] / "examples" / "tidewater"
PNG = b"\x89PNG\r\n"


@pytest.fixture
def plaque(tmp_path):
    """Return the plaque's card in a folder of its own."""
    for name in ("plaque.toml", "plaque.nc", "plover.toml", "tray.toml", "tray.nc", "heron.toml"):
        shutil.copy(TIDEWATER / name, tmp_path)
    return tmp_path / "plaque.toml"


def test_the_places_are_drawn_beside_the_card(command, plaque):
    code, out, err = command("picture", plaque, "--place")
    assert (code, err) == (0, "")
    assert out.startswith("[+] Zero fits where your card has it.\nplaque.nc on Plover\n")
    text = " ".join(out.split())
    assert "Left zero may move 5.2 mm to the left; then the bit comes too near to “left”" in text
    assert "Front zero may move 20 mm to the front; then a cut leaves the board along Y" in text
    assert "Clamps a clamp of 52 mm by 40 mm, 25 mm high (the first on your card), is safe wherever" in text
    assert "plaque-place.png" in "".join(out.split())
    drawn = plaque.with_name("plaque-place.png").read_bytes()
    assert drawn.startswith(PNG)
    assert b"cutworthy" in drawn[:1024]
    assert command("picture", plaque, "--place")[0] == 0  # and may write over its own


def test_json_has_the_numbers(command, plaque):
    code, out, _ = command("picture", plaque, "--place", "--json", "--to", "here.svg")
    told = json.loads(out)
    zero = told["zero"]
    assert (code, told["kind"], told["file"], zero["fits"]) == (0, "place", "here.svg", "here")
    # The outline runs from X24 to X276 and Y17 to Y123 on 300 by 140; the bit's radius is 3.
    assert (zero["room_mm"]["front"], zero["room_mm"]["back"]) == (20.0, 20.0)
    # Left: 24 - 3 to the clamp's edge, 12 + 3 + 0.5.
    assert 5.5 - zero["error_mm"] <= zero["room_mm"]["left"] <= 5.5
    assert zero["then"]["left"]["about"] == "left"
    assert zero["travel_judged"] == {"x": True, "y": True}
    assert told["clamp"]["size_mm"] == [52.0, 40.0, 25.0]
    assert told["clamp"]["given_by"] == "card"
    drawn = Path("here.svg").read_bytes()
    assert drawn.startswith(b"<?xml")
    assert command("picture", plaque, "--place", "--to", "here.svg")[0] == 0
    assert Path("here.svg").read_bytes() == drawn  # the same job, the same bytes


def test_an_inch_machine_is_told_in_inches(command, plaque):
    code, out, _ = command("picture", plaque.with_name("tray.toml"), "--place", "--clamp", "3 in x 2 in x 1 1/2 in")
    text = " ".join(out.split())
    assert code == 0
    assert "zero may move 1.25 in to the front" in text
    assert "a clamp of 3 in by 2 in, 1.5 in high, is safe" in text
    assert "the collet nut is not on the machine card" in text
    assert " mm" not in text


def test_an_unknown_board_place_is_said(command, plaque):
    text = plaque.read_text(encoding="utf-8").replace('at = ["120 mm", "90 mm"]\n', "")
    plaque.write_text(text, encoding="utf-8")
    code, out, _ = command("picture", plaque, "--place")
    assert code == 0
    assert "travel along X and Y is not judged" in " ".join(out.split())


def test_no_place_says_why(command, plaque):
    plaque.write_text(plaque.read_text(encoding="utf-8").replace('"300 mm", "140 mm"', '"240 mm", "140 mm"'), "utf-8")
    code, out, _ = command("picture", plaque, "--place")
    text = " ".join(out.split())
    assert code == 0
    assert text.startswith("[X] There is no place for zero.")
    # 252 mm from 24 to 276, and 240 + 6 for them.
    assert "the cuts are 6 mm too long along X" in text
    assert plaque.with_name("plaque-place.png").read_bytes().startswith(PNG)


def test_zero_elsewhere_is_told(command, plaque):
    plaque.write_text(plaque.read_text(encoding="utf-8").replace('x = "left"', 'x = "-15 mm"', 1), "utf-8")
    code, out, _ = command("picture", plaque, "--place")
    text = " ".join(out.split())
    assert code == 0
    assert text.startswith("[?] Zero does not fit where your card has it, but it does elsewhere.")
    assert "where your card has zero, the bit comes too near to “left”" in text
    assert "it fits when you move zero 9.8" in text


def test_without_place_board_and_plan_are_drawn(command, plaque):
    code, out, _ = command("picture", plaque)
    assert code == 0
    shown = {"[+] GO": "go", "[?] ASK": "ask"}[out.partition(":")[0]]
    assert plaque.with_name("plaque-picture.png").read_bytes().startswith(PNG)
    code, out, _ = command("picture", plaque, "--to", "board.svg", "--json")
    assert json.loads(out) == {"kind": "picture", "colour": "speed", "file": "board.svg", "verdict": shown}
    drawn = Path("board.svg").read_bytes()
    assert b"<svg" in drawn[:512]
    assert command("picture", plaque, "--to", "board.svg")[0] == 0
    assert Path("board.svg").read_bytes() == drawn  # the same job, the same bytes


def test_the_page_says_why(command, plaque):
    for name in ("plaque-spoilt.toml", "plaque-spoilt.nc"):
        shutil.copy(TIDEWATER / name, plaque.parent)
    code, out, _ = command("picture", plaque.with_name("plaque-spoilt.toml"))
    assert code == 0
    verdict, job, reason = out.splitlines()[:3]
    assert verdict.startswith("[X] NO-GO")
    assert job == "plaque-spoilt.nc on Plover"
    assert reason.startswith("- Lines 23 and 24: the bit runs into the clamp “left”")  # where the fault is planted


@pytest.mark.parametrize("colour", ["speed", "depth", "order"])
def test_the_cuts_are_coloured_as_asked(command, plaque, colour):
    code, out, _ = command("picture", plaque, "--colour", colour, "--to", "here.png", "--json")
    assert (code, json.loads(out)["colour"]) == (0, colour)
    drawn = Path("here.png").read_bytes()
    assert drawn.startswith(PNG)
    assert command("picture", plaque, "--colour", colour, "--to", "here.png")[0] == 0
    assert Path("here.png").read_bytes() == drawn


def test_colours_differ(command, plaque):
    for colour in ("speed", "depth", "order"):
        command("picture", plaque, "--colour", colour, "--to", f"{colour}.png")
    assert len({Path(f"{colour}.png").read_bytes() for colour in ("speed", "depth", "order")}) == 3


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--place", "--to", "plan.pdf"], "ends in .png or .svg"),
        (["--place", "--clamp", "60 mm"], "is not three lengths"),
        (["--place", "--clamp", "60 x 40 mm x 25 mm"], 'along x: "60" has no unit'),
        (["--place", "--clamp", "60 mm x 40 mm x 0 mm"], "is no size of a clamp"),
        (["--place", "--clamp", "60 mm x 40 mm x 25 kg"], "high: "),
        (["--clamp", "60 mm x 40 mm x 25 mm"], "add --place"),
        (["--place", "--colour", "depth"], "--colour is for the plan of the cuts"),
        (["--colour", "green"], "'speed', 'depth', 'order'"),
    ],
)
def test_wrong_options_are_refused_in_words(command, plaque, options, told):
    code, out, err = command("picture", plaque, *options)
    assert (code, out) == (2, "")
    assert told in err
    assert list(plaque.parent.glob("*.png")) == []


@pytest.mark.parametrize("options", [["--place"], ["--colour", "order"]])
@pytest.mark.parametrize("name", ["mine.png", "mine.svg"])
def test_nobody_elses_picture_is_replaced(command, plaque, name, options):
    mine = Path(name)
    mine.write_bytes(b"<?xml my own drawing" if name.endswith("svg") else PNG + b" my own drawing")
    code, _, err = command("picture", plaque, *options, "--to", name)
    assert code == 2
    assert "choose another name" in err
    assert mine.read_bytes().endswith(b"my own drawing")


def test_a_card_that_is_not_there(command):
    code, _, err = command("picture", "nowhere.toml", "--place")
    assert code == 2
    assert "nowhere.toml" in err
