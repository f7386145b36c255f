"""Unknown is never good: leaving a number off a card never earns a better verdict than go-or-ask allows.

The one ask that every outcome carries for now is left out of the comparison, else nothing could fail.
"""

import re
import sys
import tomllib

import pytest
from once import once
from planted import FAULTS

import cutworthy.app.proofs  # noqa: F401 - what works once is looked up in what is loaded

FAULTY = [
    (key, number) for key, faults in FAULTS.items() for number in range(len(faults)) if faults[number].level != "note"
]

COARSE = {
    "PLAIN_VISITS": 30_000,
    "PLAIN_PITCH_MM": 0.5,
    "MOST_VISITS": 300_000,
}  # cells that are looked at, and their size

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
    """Return the levels of what was found, but for what is harmless."""
    return {f["level"] for f in document["findings"]} - {"note"}


@pytest.fixture(scope="module", autouse=True)
def each_work_once():
    """Read each card and program and settle each machine once for all that ask the same.

    Each of these works, and that of carrying a bit through the wood, is a function of its request and of nothing else.
    The cells of the wood are coarser than usual, for what holds here holds on any.
    """
    with pytest.MonkeyPatch.context() as patch:
        once(patch, "app.proofs", "load_machine", lambda path: path.read_text(encoding="utf-8"))
        once(patch, "workflows.prove", "read_program", lambda data, options, _progress: (data, repr(options)))
        once(patch, "settings", "settle", repr)
        for name, value in COARSE.items():
            patch.setattr(sys.modules["cutworthy.removal.remove"], name, value)
        yield


@pytest.fixture(autouse=True)
def carried_once(monkeypatch):
    """Carry a bit through the wood once for all machine cards of a fault; what is left of the wood fills the memory."""
    once(
        monkeypatch,
        "removal",
        "remove",
        lambda moves, job, place, **_progress: (moves.digest(), repr(job), repr(place)),
    )


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
