"""The bands of margin and push are honest: machines and woods drawn from their own bands nearly always lie inside.

Each draw is a machine whose numbers are all known, cutting a wood whose force is known: every number even over its own
band, all of them independent. What the code makes of it is held against the band that it printed before anybody knew.
"""

import sys
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from conftest import CLEAN, JOB, TIDEWATER, edited

from cutworthy import clearance, loads, motion, removal, settings
from cutworthy.app.cards.load import job_from_text, machine_from_text
from cutworthy.loads import force
from cutworthy.loads.wood import wood_of
from cutworthy.model.loads import EXPECTED, HIGH, LOW
from cutworthy.model.machine import AXES, Supply
from cutworthy.model.quantity import Origin, Quantity
from cutworthy.model.settings import Settled
from cutworthy.program import read_program
from cutworthy.reference.cutting import cutting
from cutworthy.reference.tables import limit
from cutworthy.reference.woods import woods
from cutworthy.settings.parts import NO_DRIVER, NO_MOTOR, parts_of
from cutworthy.workflows.open import read_options

DRAWS = 200
INSIDE = 0.95  # of the draws
CHANCE = 0.05  # what 200 draws may be off by
NEAR = 0.6  # of one end of a band to the outermost draw
ROUNDING = 1e-9
X_MOTOR = """\
holding_torque = "1.8 N*m"
rated_current = "3.0 A"
resistance = "1.1 ohm"
inductance = "3.8 mH"
rotor_inertia = "460 g*cm^2"
"""
GUESSED = {
    X_MOTOR: 'holding_torque = { value = "1.8 N*m", origin = "guessed" }\n',
    'drag = { value = "12 N", plus_minus = "3 N", origin = "measured" }\n': "",
    "friction = 0.01\n": "",
    'voltage = "36 V"\n': "",
}
MACHINES = {"plover": {}, "heron-with-labels": {}, "heron": {}, "plover, half of it guessed": GUESSED}
# A wood, a panel, one of several woods, plies, and anything: nobody knows what the board is.
WOODS = (
    ("plover", "white oak"),
    ("plover", "MDF"),
    ("plover, half of it guessed", "maple"),
    ("heron-with-labels", "plywood"),
    ("heron", "the board from the shed"),
)
LABELLED = [each for each in WOODS if each[0] in ("plover", "heron-with-labels")]
CUTS = {
    "deep": {"G1 Z-3 F300": "G1 Z-12 X60 F900", "G1 X150 F1500": "G1 X150 F2400"},
    "light": {"G1 Z-3 F300": "G1 Z-3 X60 F900"},
}


@dataclass(frozen=True)
class Known:
    """A job that was read, planned and carved once: all draws share what the bit meets on its way, and when."""

    machine: Any
    job: Any
    given: tuple

    def load(self, settled, job):
        """Return the loads as one machine and one job have them."""
        return loads.load(*self.given, settled, job)


def known(name, material, cut):
    """Return the clean job on a machine, in a material."""
    card = (TIDEWATER / f"{name.split(',')[0]}.toml").read_text(encoding="utf-8")
    machine = machine_from_text(edited(card, MACHINES[name]), Path("machine.toml")).record
    job = job_from_text(edited(JOB, {"white oak": material}), Path("board.toml")).record
    place = clearance.place(machine, job)
    data = edited(CLEAN, CUTS[cut]).encode("ascii")
    program = read_program(data, read_options(machine, job, place), quiet)
    moves = motion.expand(program, machine)
    timeline = motion.timing(program, machine).timeline
    met = removal.remove(moves, job, place, progress=quiet).engagement
    return Known(machine, job, (met, moves, program, timeline))


def quiet(_share):
    pass


def exact(draw, number):
    """Return a number somewhere in its band, with no doubt left."""
    value = draw(number)
    return replace(number, value=value, low=value, high=value, origin=Origin.MEASURED, stated=True)


@dataclass(frozen=True)
class Draw:
    """Draws numbers; ``believing``: what stands on a card and is no guess is taken as it stands there."""

    random: np.random.Generator
    believing: bool

    def between(self, low, high):
        return float(self.random.uniform(low, high))

    def __call__(self, number):
        return number.value if self.believing and not number.is_guess else self.between(number.low, number.high)


def drawn_axis(draw, machine, name):
    """Return an axis with all numbers that its torque depends on drawn, whether they are on its card or not."""
    own = machine.axes[name]
    parts, one = parts_of(machine, own), partial(exact, draw)
    motor = replace(
        own.motor or NO_MOTOR,
        holding_torque_n_m=one(parts.holding_torque),
        rated_current_a=one(parts.rated_current),
        resistance_ohm=one(parts.resistance),
        inductance_h=one(parts.inductance),
        rotor_inertia_kg_m2=one(parts.rotor_inertia),
    )
    driver = replace(own.driver or NO_DRIVER, current_a=one(parts.current), current_is=parts.current_is)
    drive, sizes = own.drive, parts.screw
    if sizes is not None:
        across = {"diameter_mm": one(sizes.diameter), "root_diameter_mm": one(sizes.root), "span_mm": one(sizes.span)}
        drive = replace(drive, friction=one(sizes.friction), **across)
    mass, drag = one(parts.mass), one(parts.drag)
    return replace(own, motor=motor, driver=driver, drive=drive, moving_mass_kg=mass, drag_n=drag)


def drawn_machine(draw, machine):
    """Return a machine with known parts, settled, and the share of its torque that its motors really have."""
    axes = {name: drawn_axis(draw, machine, name) for name in AXES}
    volts = exact(draw, parts_of(machine, machine.axes["x"]).voltage)
    supply = replace(machine.supply or Supply(voltage_v=None, current_a=None), voltage_v=volts)
    one = replace(machine, axes=axes, supply=supply)
    found = settings.settle(one)
    share = draw.between(limit("running_low").value, limit("running_high").value) / limit("running_expected").value
    own = {name: replace(axis, pushes=with_share(axis.pushes, share)) for name, axis in found.axes.items()}
    return Settled(machine=one, settings=replace(found, axes=own))


def with_share(pushes, ratio):
    """Return what an axis can push with so many times the torque."""
    own = pushes.expected
    return replace(pushes, expected=replace(own, torque_n_m=tuple(ratio * each for each in own.torque_n_m)))


def drawn_job(draw, job):
    """Return a job in one of the woods that its board may be, of a known density, with a known runout."""
    names = wood_of(job.board).names
    rows = [row for row in woods() if row.name in names or not (names or row.kind == "metal")]
    row = rows[int(draw.between(0, len(rows)))]
    density = draw.between(row.low_kg_m3, row.high_kg_m3)
    told = Quantity(value=density, low=density, high=density, origin=Origin.MEASURED, key="board.density")
    return replace(job, board=replace(job.board, material=row.name, density_kg_m3=told))


def drawn_cutting(draw):
    """Return the numbers of the force with their bands drawn: a cut may be with the feed, against it, or between."""
    found = dict(cutting())
    found["band"] = {kind: one_of(draw, band) for kind, band in found["band"].items()}
    found |= {name: one_of(draw, found[name]) for name in ("push-away", "lift", "plunge")}
    way = draw.between(0, 1)
    ways = found["solid"].values()
    mixed = {name: (1 - way) * against + way * along for name in ("k", "i") for against, along in [arrays(ways, name)]}
    found["solid"] = dict.fromkeys(found["solid"], mixed)
    return found


def arrays(ways, name):
    return [np.array(each[name]) for each in ways]


def one_of(draw, band):
    return dict.fromkeys(force.BANDS, draw.between(band["low"], band["high"]))


@dataclass(frozen=True)
class Told:
    """What was printed of job and machine before anybody knew, and the same of every draw."""

    loading: Any
    settings: Any
    draws: list
    settled: list

    def margins(self, name):
        """Return the margins of an axis over the low end of its band, where it has one, and whether they lie in it."""
        own = self.loading.margins[name].margin
        found = np.array([each.margins[name].margin.expected for each in self.draws])
        over = found / own.low if own.low > 0 else np.full(len(found), np.inf)
        return over, (over >= 1 - ROUNDING) & (found <= own.high * (1 + ROUNDING))


@cache
def told(name, material, cut, *, believing=False):
    """Return what is printed of a job on a machine, and of machines and woods that are drawn from its bands."""
    case, draw = known(name, material, cut), Draw(np.random.default_rng(20), believing)
    before = settings.settle(case.machine)
    printed = case.load(Settled(machine=case.machine, settings=before), case.job)
    draws, settled = [], []
    with pytest.MonkeyPatch.context() as patch:
        for _ in range(DRAWS):
            table = drawn_cutting(draw)
            for module in ("force", "load"):
                patch.setattr(sys.modules[f"cutworthy.loads.{module}"], "cutting", lambda table=table: table)
            one = drawn_machine(draw, case.machine)
            draws.append(case.load(one, drawn_job(draw, case.job)))
            settled.append(one.settings)
    return Told(printed, before, draws, settled)


@pytest.mark.parametrize(("name", "material"), WOODS)
def test_margins_lie_in_their_bands(name, material):
    made = told(name, material, "deep")
    shares = {axis: made.margins(axis)[1].mean() for axis in made.loading.margins}
    assert list(shares) == list(AXES)
    assert min(shares.values()) >= INSIDE


@pytest.mark.parametrize(("name", "material"), LABELLED)
def test_so_they_do_in_a_light_cut_where_labels_are_right(name, material):
    """There the motor and what it carries decide, and the bands take labels and measurements at their word."""
    made = told(name, material, "light", believing=True)
    assert min(made.margins(axis)[1].mean() for axis in AXES) >= INSIDE


@pytest.mark.parametrize(("name", "material"), LABELLED)
def test_labels_that_are_off_take_few_margins_out_of_their_bands(name, material):
    """What the share of the torque allows for does not cover every label too: of 2000 draws 1 to 9 % lie outside.

    At most 7 % lie below the low end, by a fifth of it at most; holding torque and friction take them there. That is
    what 1.5 at the low end is asked for.
    """
    made = told(name, material, "light")
    for axis in AXES:
        over, is_inside = made.margins(axis)
        assert is_inside.mean() >= 0.9 - CHANCE
        assert (over < 1).mean() <= 0.07 + CHANCE
        assert over.min() > 1 / limit("torque_margin").value


@pytest.mark.parametrize("column", ["push_n", "peak_n", "power_w"])
@pytest.mark.parametrize(("name", "material"), WOODS)
def test_what_the_cut_asks_for_lies_in_its_band(name, material, column):
    made = told(name, material, "deep")
    band = getattr(made.loading.loads, column)
    found = np.stack([getattr(each.loads, column)[:, EXPECTED] for each in made.draws])
    is_inside = (found >= band[:, LOW] * (1 - ROUNDING)) & (found <= band[:, HIGH] * (1 + ROUNDING))
    assert is_inside.mean(axis=0).min() >= INSIDE
    if made.loading.wood.names:  # then the band is no wider than it has to be: draws come near its ends
        assert (found.max(axis=0) / band[:, HIGH]).min() > NEAR
        assert (band[:, LOW] / found.min(axis=0)).min() > NEAR


@pytest.mark.parametrize("column", ["standing_n", "needed_n_m"])
@pytest.mark.parametrize(("name", "material"), WOODS)
def test_what_an_axis_pushes_standing_and_what_it_needs_lie_in_their_bands(name, material, column):
    made = told(name, material, "deep")
    for axis in AXES:
        band = getattr(made.settings.axes[axis].torques, column)
        found = [getattr(each.axes[axis].torques, column).expected for each in made.settled]
        assert np.mean([band.low <= each <= band.high for each in found]) >= INSIDE
