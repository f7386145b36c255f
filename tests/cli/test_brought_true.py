"""A machine with planted errors is brought true by following nothing but the tool's words.

The machine is simulated: what it does with a command, and what an instrument shows of that. Who follows knows neither.
"""

import json

import numpy as np
import pytest
from conftest import TIDEWATER

ROUNDS = 4  # of measuring and correcting, at most, for each error


class Shop:
    """A machine that is off, and a careful beginner with a rule, an indicator and an arm."""

    def __init__(self, seed):
        self.chance = np.random.default_rng(seed)
        self.true_steps = 160 * 1.004  # the screw is not what its label says
        self.steps, self.lost, self.square, self.lean = 160.0, 0.31, 0.0021, (0.0012, -0.0007)

    def scale(self):
        gain = self.steps / self.true_steps
        lengths = [20, 20, 300, 300, 600, 600]
        rows = [f"{x},{x * gain + 0.05 + self.chance.normal(0, 0.06):.2f},-" for x in lengths]
        return ["# instrument: steel rule", "# unit: mm", "# axis: x", "commanded,measured,from", *rows]

    def reversal(self):
        rows = []
        for place in (100, 100, 400, 400, 700, 700):
            low = 0.1 + self.chance.normal(0, 0.004)
            rows.append(f"{place},{low:.2f},{low + self.lost + self.chance.normal(0, 0.004):.2f}")
        return ["# instrument: dial indicator", "# unit: mm", "# axis: x", "place,from_minus,from_plus", *rows]

    def flip(self):
        rows = [f"400,{800 * np.tan(self.square) + self.chance.normal(0, 0.02):.2f}" for _ in range(3)]
        return ["# instrument: caliper", "# unit: mm", "length,gap", *rows]

    def tram(self):
        rows = []
        for angle in range(0, 360, 45):
            way = np.radians(angle)
            height = 150 * (self.lean[0] * np.cos(way) + self.lean[1] * np.sin(way))
            rows.append(f"{angle},150,{height + self.chance.normal(0, 0.004):.2f}")
        top = ["# instrument: dial indicator", "# unit: mm", "# bolts_x: 80 mm", "# bolts_y: 120 mm"]
        return [*top, "angle,radius,reading", *rows]


@pytest.fixture
def ask(command, tmp_path):
    def run(kind, rows):
        file = tmp_path / f"{kind}.csv"
        file.write_text("\n".join(rows) + "\n", encoding="utf-8")
        _, out, err = command("measure", kind, file, "--machine", TIDEWATER / "plover.toml", "--json")
        assert err == ""
        return json.loads(out)

    return run


@pytest.mark.parametrize("seed", range(3))
def test_four_errors_are_found_corrected_and_left_alone(ask, seed):
    shop = Shop(seed)
    for _ in range(ROUNDS):
        told = ask("reversal", shop.reversal())
        if told["decision"] == "leave":
            break
        assert "Steps stay as they are" in told["do"]
        shop.lost *= 0.3  # end play taken out, then bracket, then coupler
    else:
        pytest.fail("lost motion was never left alone")
    for _ in range(ROUNDS):
        told = ask("scale", shop.scale())
        if told["decision"] == "leave":
            break
        assert told["decision"] == "change"
        # What is typed goes by what the card says is entered; the card is that of the first day.
        shop.steps *= float(told["enter"]["steps_per_mm"]) / 160
    else:
        pytest.fail("the scale was never left alone")
    for _ in range(ROUNDS):
        told = ask("square-flip", shop.flip())
        if told["decision"] == "leave":
            break
        assert "too far to the right" in told["do"]
        shop.square -= told["results"]["square_mrad"]["value"] / 1000
    else:
        pytest.fail("squareness was never left alone")
    for _ in range(ROUNDS):
        told = ask("tram", shop.tram())
        if told["decision"] == "leave":
            break
        x, y = (told["results"][f"tilt_{axis}_mrad"]["value"] / 1000 for axis in "xy")
        worst = 0 if abs(x) > abs(y) else 1
        shim = told["results"]["shim_mm"]["value"]
        assert f"a shim of {abs(shim):.2f} mm" in told["do"]
        shop.lean = tuple(own - shim / (80, 120)[axis] * (axis == worst) for axis, own in enumerate(shop.lean))
    else:
        pytest.fail("the lean was never left alone")
    assert shop.lost < 0.15
    assert shop.steps / shop.true_steps == pytest.approx(1, abs=5e-4)
    assert abs(shop.square) < 3e-4
    assert max(map(abs, shop.lean)) < 5e-4


def test_the_test_piece_parts_what_is_planted(command, tmp_path):
    """The sizes that its own form asks for, of a piece cut by a machine that is off in four ways."""
    assert command("trial", "test-piece", TIDEWATER / "plover.toml", "--to", tmp_path)[0] == 3
    scale, lost, bit, square = 6e-4, 0.12, -0.08, 0.0015
    chance = np.random.default_rng(5)
    form = tmp_path / "test-piece.csv"
    rows = form.read_text(encoding="utf-8").splitlines()
    filled = rows[:3]
    for row in rows[3:]:
        name, nominal, _, inside, axis = row.split(",")
        size = float(nominal)
        out = 1 if inside == "yes" else -1
        if axis.startswith("diagonal"):
            way = 1 if axis == "diagonal-1" else -1
            size *= 1 + scale / 2 + way * square / 2
            size += out * bit - lost / 2
        else:
            size = size * (1 + (scale if axis == "x" else 0)) + out * bit - (lost if axis == "x" else 0)
        filled.append(f"{name},{nominal},{size + chance.normal(0, 0.01):.2f},{inside},{axis}")
    form.write_text("\n".join(filled) + "\n", encoding="utf-8")
    told = json.loads(command("measure", "test-piece", form, "--json")[1])
    truth = {
        "scale_x_ppm": 600, "scale_y_ppm": 0, "lost_motion_x_mm": lost, "lost_motion_y_mm": 0, "bit_mm": bit,
        "square_mrad": 1.5,
    }  # fmt: skip
    assert set(told["results"]) == set(truth)
    for name, value in truth.items():
        assert told["results"][name]["low"] <= value <= told["results"][name]["high"], name
    assert "lost motion of X" in told["says"]
    assert "scale of Y" in told["says"].split("Not sure")[1]
