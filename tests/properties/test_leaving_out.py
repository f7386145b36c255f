"""Unknown is never good: leaving a number off a card never earns a better verdict than go-or-ask allows.

The one ask that every outcome carries for now is left out of the comparison, else nothing could fail.
"""

import re
import sys
import tomllib

import pytest
from planted import FAULTS

from cutworthy import removal

FAULTY = [
    (key, number)
    for key, faults in FAULTS.items()
    for number in range(len(faults))
    if faults[number].level != "note" and faults[number].case != "checks-missing"
]

COARSE_VISITS = 150_000  # a quarter of the usual

# Optional keys whose values on these cards lie inside their default bands, as the lines of the cards.
OPTIONAL = re.compile(
    r"^(at|bottom|spread|plus_minus|plus_minus_z|centre_cutting|cutting_length|max_rpm|speed"
    r"|spoilboard|units_at_start|rapids|arc_centres|block_delete|bit_change|lengths|g28|power|power_is"
    r"|switched_by|speed_by|spin_up|collet_nut|body) = .*\n",
    re.MULTILINE,
)
# Without [holding] the clamps on the card are taken to hold the board; tape is outside that default.
TABLES = re.compile(r"^\[(?:start|holding(?=\]\nby = \"clamps\")|supply|estop)\]\n(?:[^\[\n].*\n|\n)*", re.MULTILINE)
REQUIRED = re.compile(r"^(?:speed = \"\d+ mm/min\")", re.MULTILINE)


def without(text):
    """Return the card once for each optional key or table, without it."""
    places = [match for pattern in (OPTIONAL, TABLES) for match in pattern.finditer(text)]
    return [text[: m.start()] + text[m.end() :] for m in places if not REQUIRED.match(m[0])]


def judged(document):
    """Return the levels of what was found, without the reminder that some checks are still to come."""
    return {f["level"] for f in document["findings"] if f["case"] != "checks-missing"} - {"note"}


@pytest.fixture(autouse=True)
def carried_once(monkeypatch):
    """Carry a bit through the wood once for all machine cards that move it alike.

    The work is a function of its request and of nothing else. The cells are coarser than usual, for what holds here
    holds on any.
    """
    kept, carry = {}, removal.remove

    def remember(moves, job, place, *, progress):
        request = (moves.digest(), repr(job), repr(place))
        if request not in kept:
            kept[request] = carry(moves, job, place, progress=progress)
        return kept[request]

    monkeypatch.setattr(removal, "remove", remember)
    monkeypatch.setattr(sys.modules["cutworthy.removal.remove"], "PLAIN_VISITS", COARSE_VISITS)


@pytest.mark.parametrize(("rule_id", "number"), FAULTY)
def test_leaving_out_a_key_never_turns_ask_or_no_go_into_go(workshop, clean, rule_id, number):
    fault = FAULTS[rule_id][number]
    edits = {"program": clean(fault.program), "job": fault.job, "machine": fault.machine}
    before = judged(workshop.prove(**edits))
    assert before
    for name in ("board.toml", "plover.toml"):
        file = workshop.folder / name
        text = file.read_text(encoding="utf-8")
        for shorter in without(text):
            file.write_text(shorter, encoding="utf-8")
            left_out = tomllib.loads(text) != tomllib.loads(shorter)
            assert left_out
            assert judged(workshop.again()), (name, shorter)
        file.write_text(text, encoding="utf-8")
