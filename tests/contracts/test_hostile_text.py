"""Text of cards and programs is data in every face: command, document, picture."""

import json
import sys

import pytest

from cutworthy.cli import main
from cutworthy.present.plan import plan_view
from cutworthy.present.relief import relief_view
from cutworthy.sheets.plan import draw_plan
from cutworthy.sheets.relief import draw_relief

HOSTILE = [
    "[bold red]not markup[/]",
    "[/]",
    "$\\frac{1}{",
    '#import "x"',
    "<script>alert(1)</script>",
    "=1+1",
    "{about} {0} %s",
]


CONTROLS = ["\x1b[31mred\x07", "\u202eevil", "a\nb"]


@pytest.mark.parametrize("text", HOSTILE)
def test_cards_and_programs_are_data(workshop, clean, text, monkeypatch, capsys):
    spelled = json.dumps(text)  # a JSON string is a TOML basic string
    card = workshop.write(
        program=clean({"G1 X50\n": f"G1 X12\nG1 X50 Q5 ({text})\n", "M30": f"U3 {text}"}),
        job={'name = "left"': f"name = {spelled}", '"white oak"': spelled},
        machine={'name = "Plover"': f"name = {spelled}"},
    )
    monkeypatch.setattr(sys, "argv", ["cutworthy", "prove", str(card)])
    with pytest.raises(SystemExit):
        main.run()
    assert text in " ".join(capsys.readouterr().out.split())
    proof = workshop.proof_again()
    assert json.loads(json.dumps(proof.document))["verdict"] == "no-go"
    told = proof.outcome, proof.card.record, proof.machine_card.record
    assert draw_plan(plan_view(*told)).startswith(b"\x89PNG")
    for form in ("png", "svg"):
        assert b"cutworthy" in draw_relief(relief_view(*told), plan_view(*told, "depth"), form)[:1024]


@pytest.mark.parametrize("text", CONTROLS)
def test_a_card_with_control_characters_is_refused_in_plain_text(workshop, text, monkeypatch, capsys):
    card = workshop.write(job={'name = "left"': f"name = {json.dumps(text)}"})
    monkeypatch.setattr(sys, "argv", ["cutworthy", "prove", str(card)])
    with pytest.raises(SystemExit):
        main.run()
    told = capsys.readouterr().err
    assert "control characters" in told
    assert not set(told) & {"\x1b", "\x07", "\u202e"}


@pytest.mark.parametrize("text", CONTROLS)
def test_control_characters_of_a_program_are_shown_as_escapes(workshop, clean, text, monkeypatch, capsys):
    card = workshop.write(program=clean({"G1 X50\n": f"G1 X50 {text}\n"}))
    monkeypatch.setattr(sys, "argv", ["cutworthy", "prove", str(card)])
    with pytest.raises(SystemExit):
        main.run()
    assert not set(capsys.readouterr().out) & {"\x1b", "\x07", "\u202e"}
    document = workshop.proof_again().document
    assert document["verdict"] == "no-go"
    assert not set(json.dumps(document, ensure_ascii=False)) & {"\x1b", "\x07", "\u202e"}


@pytest.mark.parametrize("text", ["[red]x", "a\x1b[31m"])
def test_file_names_are_data(workshop, text, monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["cutworthy", "prove", str(workshop.folder / text)])
    with pytest.raises(SystemExit):
        main.run()
    told = capsys.readouterr().err
    assert "\x1b" not in told
    assert "[red]x" in told or "\\x1b" in told
