"""The job ticket: one page, all that is looked at before the start, and no way to a start that is forbidden."""

import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pypdf
import pytest
from conftest import TIDEWATER

from cutworthy.app.proofs import prove_job
from cutworthy.present.sentences import CLOSING
from cutworthy.present.ticket import ticket_view
from cutworthy.sheets.paper import print_sheet
from cutworthy.sheets.sketch import draw_sketch

HOSTILE = '#panic("x") $x^2$ *b* `raw` @ref <label> = no'


def ticket_of(proof, **changes):
    return ticket_view(
        proof.outcome,
        replace(proof.card.record, **changes),
        proof.machine_card.record,
        program=proof.card.program.name,
        date="2025-03-01",
    )


def printed(told, sketch, paper="a4"):
    """Return the text of the only page."""
    (page,) = pypdf.PdfReader(io.BytesIO(print_sheet(told, paper, {"sketch": draw_sketch(sketch)}))).pages
    return " ".join(page.extract_text().split())


@pytest.fixture(scope="module")
def plaque():
    (proof,) = prove_job(TIDEWATER / "plaque.toml", progress=lambda _share: None)
    return proof


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["plaque", "plaque-spoilt", "tray"])
def test_a_ticket_is_one_page_with_verdict_file_and_closing(name, paper):
    (proof,) = prove_job(TIDEWATER / f"{name}.toml", progress=lambda _share: None)
    text = printed(*ticket_of(proof), paper)
    assert text.startswith(proof.outcome.verdict.upper())
    assert f"{name}.nc" in text
    assert text.endswith(CLOSING)


def test_it_tells_what_is_set_up_and_looked_at(plaque):
    text = printed(*ticket_of(plaque))
    digest = plaque.outcome.digest
    assert f"{digest[:4]} {digest[4:8]} {digest[8:12]}" in text
    for told in ("300 mm by 140 mm (11.81 in by 5.512 in)", "18 mm (0.7087 in) thick", "touched off with bit 1"):
        assert told in text
    for told in ("-40 to 12 mm", "50 to 90 mm", "25 mm", "vee 60°", "flat, 6 mm", "35 mm (1.378 in)", "16000 rpm"):
        assert told in text
    assert "Lowest point -18.6 mm (-0.7323 in)" in text
    assert "Travels at 20 mm (0.7874 in) at its lowest" in text
    assert "Line 27: it waits for the bit to be changed" in text
    low, high = plaque.outcome.loading.knob_pct
    assert f"{low} to {high} % keeps" in text


def test_a_forbidden_job_has_no_start():
    (proof,) = prove_job(TIDEWATER / "plaque-spoilt.toml", progress=lambda _share: None)
    told, sketch = ticket_of(proof)
    text = printed(told, sketch)
    assert told.start == ()
    assert "No start with this ticket" in text
    assert "Start. Stay." not in text
    assert "the bit runs into the clamp “left”" in text


def test_what_stands_on_a_card_is_printed_and_never_obeyed(plaque):
    board = replace(plaque.card.record.board, material=HOSTILE)
    assert HOSTILE in printed(*ticket_of(plaque, board=board))


def test_many_clamps_and_bits_still_fit(plaque):
    clamps = tuple(replace(plaque.card.record.clamps[0], name=f"clamp {number}") for number in range(8))
    text = printed(*ticket_of(plaque, clamps=clamps), "letter")
    assert "clamp 7" in text


def test_the_sketch_is_to_scale_and_the_same_each_time(plaque):
    _, sketch = ticket_of(plaque)
    drawn = draw_sketch(sketch)
    assert drawn == draw_sketch(sketch)
    # The board is the white rectangle with the widest edge: 300 by 140 mm.
    paths = [
        node.attrib["d"]
        for node in ET.fromstring(drawn).iter("{http://www.w3.org/2000/svg}path")  # noqa: S314 - our own
        if "fill: #ffffff; stroke: #000000; stroke-width: 2" in node.attrib.get("style", "")
    ]
    (corners,) = [re.findall(r"(-?[\d.]+) (-?[\d.]+)", path) for path in paths]
    x, y = ([float(corner[axis]) for corner in corners] for axis in (0, 1))
    assert (max(x) - min(x)) / (max(y) - min(y)) == pytest.approx(300 / 140, rel=1e-4)
