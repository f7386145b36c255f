"""Files that are no program: each gets a clear answer, and nothing is written."""

import pytest

from cutworthy.app.proofs import prove_job
from cutworthy.errors import CardError, FileError, InputError


@pytest.mark.parametrize(
    ("data", "case"),
    [
        (b"", "empty"),
        (b"\r\n \n", "empty"),
        (bytes(range(256)) * 40, "binary"),
        ("G21\nG0 X1\nM2\n".encode("utf-16"), "utf-16"),
        (b"G21\x00\x00\x00\x00G0 X1\nM2\n" * 3, "binary"),
    ],
)
def test_a_file_that_is_no_program_is_refused(workshop, data, case):
    document = workshop.prove(program=data)
    worst = document["findings"][0]
    assert document["verdict"] == "no-go"
    assert (worst["id"], worst["case"], worst["line"]) == ("bad-line", case, 1)


def test_a_folder_or_a_missing_program(workshop):
    card = workshop.write()
    for program, told in ((workshop.folder, "folder"), (workshop.folder / "no.nc", "not there")):
        with pytest.raises(FileError, match=told):
            prove_job(card, program=program, progress=lambda _share: None)


def test_a_file_far_too_large(workshop):
    card = workshop.write()
    sparse = workshop.folder / "large.nc"
    with sparse.open("wb") as file:
        file.truncate(400 * 2**20)
    with pytest.raises(FileError, match="400 MiB"):
        prove_job(card, program=sparse, progress=lambda _share: None)


def test_a_large_file_of_nothing(workshop):
    card = workshop.write()
    sparse = workshop.folder / "large.nc"
    with sparse.open("wb") as file:
        file.truncate(300 * 2**20)
    (proof,) = prove_job(card, program=sparse, progress=lambda _share: None)
    assert proof.document["findings"][0]["case"] in ("empty", "binary")


SAME_NUMBER = """\
[[bits]]
tool = 1
kind = "flat"
diameter = "3 mm"
flutes = 2
stickout = "20 mm"

[[clamps]]"""


@pytest.mark.parametrize(
    ("job", "machine", "told"),
    [
        ({'"18 mm"]': '"-18 mm"]'}, {}, "size"),
        ({'"18 mm"]': '"nan mm"]'}, {}, "size"),
        ({'stickout = "35 mm"': "stickout = 35"}, {}, "stickout"),
        ({"[[clamps]]": SAME_NUMBER}, {}, "tool"),
        ({"stickout": "stick_out"}, {}, "stickout"),
        ({}, {'"820 mm"': '"820 km"'}, "travel"),
        ({}, {'voltage = "36 V"': 'voltage = "24000 V"'}, "voltage"),
    ],
)  # fmt: skip
def test_a_wrong_number_on_a_card_is_named(workshop, job, machine, told):
    card = workshop.write(job=job, machine=machine)
    with pytest.raises(CardError) as wrong:
        prove_job(card, progress=lambda _share: None)
    (mistake,) = wrong.value.mistakes if len(wrong.value.mistakes) == 1 else (wrong.value.mistakes[0],)
    assert mistake.line
    assert told in mistake.key or told in mistake.write


def test_all_mistakes_of_a_card_at_once(workshop):
    card = workshop.write(job={'"18 mm"]': '"18"]', "flutes = 1": "flutes = -2", 'kind = "flat"': 'kind = "falt"'})
    with pytest.raises(CardError) as wrong:
        prove_job(card, progress=lambda _share: None)
    assert len(wrong.value.mistakes) == 3


def test_a_card_of_another_kind(workshop):
    card = workshop.write()
    with pytest.raises(InputError, match="machine"):
        prove_job(workshop.folder / "plover.toml", progress=lambda _share: None)
    with pytest.raises(InputError, match="job"):
        prove_job(card, machines=[card], progress=lambda _share: None)
