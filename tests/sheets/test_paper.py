"""The sheets are whole: pages, type, numbers, both units; what stands on a card is printed, never obeyed."""

import io
import itertools
import re
from dataclasses import replace
from functools import cache

import pypdf
import pytest
from settled import EXAMPLES, VARIANTS, settled

from cutworthy.present.numbers import numbers_view
from cutworthy.present.sentences import CLOSING
from cutworthy.present.wall import wall_view
from cutworthy.sheets.curves import pictures
from cutworthy.sheets.paper import print_sheet

DATE = "2025-03-01"
SIZES = {"a4": (595.3, 841.9), "letter": (612, 792)}
HOSTILE = [
    '#panic("x")',
    'a "quoted" #[name]',
    "$x^2$ *b* _i_ `raw` @ref <label> // /* \\",
    "= not a title",
    '{"view": 1}',
    "\N{GRINNING FACE} shop",
]
EVERY = range(len(VARIANTS))
PLOVER = EXAMPLES.index("plover")
LONG = "The old router in the back room by the harbour wall, No. 2 B"  # 60 characters


@cache
def made(variant):
    return settled(*VARIANTS[variant])


@cache
def drawn(variant):
    return pictures(numbers_view(made(variant).machine, made(variant).settings))


@cache
def numbers(variant, paper="a4", name=None):
    machine, settings = made(variant).machine, made(variant).settings
    view = numbers_view(
        replace(machine, name=name or machine.name), settings, findings=made(variant).findings, date=DATE
    )
    return print_sheet(view, paper, drawn(variant))


@cache
def wall(variant, paper="a4", name=None):
    machine, settings = made(variant).machine, made(variant).settings
    view = wall_view(replace(machine, name=name or machine.name), settings, date=DATE, findings=made(variant).findings)
    return print_sheet(view, paper)


@cache
def pages(printed):
    return pypdf.PdfReader(io.BytesIO(printed)).pages


@cache
def text(printed):
    """Return the text on all pages, on one line."""
    return " ".join(" ".join(page.extract_text() for page in pages(printed)).split())


def packed(told):
    """Return a text without spaces: where a line ends, or a name is broken, is the layout's business."""
    return re.sub(r"[\s\u200b]", "", told)


def pieces(page):
    """Return each piece of text on a page: left, bottom, size, text."""
    found = []

    def visit(told, ctm, matrix, _font, size):
        if told.strip():
            scale = abs(matrix[3] * ctm[3])
            left = ctm[0] * matrix[4] + ctm[4]
            bottom = ctm[3] * matrix[5] + ctm[5]
            found.append((left, bottom, size * scale, told))

    page.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("variant", EVERY)
def test_a_wall_is_one_page_and_numbers_are_two(variant, paper):
    for name in (None, "W" * 200) if paper == "letter" else (None,):
        assert len(pages(wall(variant, paper, name))) == 1
        assert len(pages(numbers(variant, paper, name))) == 2
    box = pages(wall(variant, paper))[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(SIZES[paper], abs=0.5)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("variant", EVERY)
def test_a_wall_is_in_large_type_and_within_its_paper(variant, paper):
    (page,) = pages(wall(variant, paper, LONG))
    found = pieces(page)
    assert min(size for _, _, size, _ in found) >= 14
    assert min(left for left, *_ in found) > 28
    assert min(bottom for _, bottom, *_ in found) > 28
    assert max(bottom + size for _, bottom, size, _ in found) < SIZES[paper][1] - 20


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("variant", EVERY)
def test_numbers_are_no_smaller_than_they_can_be_read_and_within_their_paper(variant, paper):
    for page in pages(numbers(variant, paper, LONG)):
        found = pieces(page)
        assert min(size for _, _, size, _ in found) >= 9.4
        assert min(bottom for _, bottom, *_ in found) > 12
        assert max(bottom + size for _, bottom, size, _ in found) < SIZES[paper][1]


@pytest.mark.parametrize("variant", EVERY)
def test_lines_of_the_wall_do_not_run_into_each_other(variant):
    (page,) = pages(wall(variant, "letter", LONG))
    # What begins at the left edge, but for the large names of the axes beside their two lines of numbers.
    lines = sorted({round(bottom, 1) for left, bottom, size, _ in pieces(page) if left < 50 and size < 22})
    assert len(lines) > 20
    assert min(above - below for below, above in itertools.pairwise(lines)) > 13


GOLDEN = {
    "plover": ["160 steps per mm", "4064 steps per inch", "5080 steps per inch", "3000 mm/min", "118.1102 in/min",
               "200 steps × 8 microsteps ÷ 10 mm a turn = 160 steps per mm", "0.2 mm (0.007874 in)", "353, 706, 1412",
               "532 N (120 lbf)", "3.125 to 816.875 mm", "5.7 A, "],
    "heron": ["1600 steps per inch", "125.984252 steps per mm", "314.9606299 steps per mm",
              "not known: read the motor's label", "sold as 1/2 in", "0.02 in (0.508 mm)"],
    "heron-with-labels": ["3200 ÷ 25.4 = 125.984252", "99.7 lbf (444 N)", "16 % of 627 in/min"],
}  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_numbers_are_on_the_sheet(name):
    told = text(numbers(EXAMPLES.index(name)))
    for each in GOLDEN[name]:
        assert packed(each) in packed(told), each


@pytest.mark.parametrize("variant", EVERY)
def test_the_numbers_sheet_says_all_of_its_view(variant):
    view = numbers_view(made(variant).machine, made(variant).settings, date=DATE)
    told = packed(text(numbers(variant)))
    for axis in view.axes:
        for box in axis.boxes:
            typed = (box.enter.first, box.enter.second) if box.enter else ()
            for each in (*typed, *box.sums, box.decides, box.note, box.unknown):
                assert packed(each) in told, each
        for fact in axis.facts:
            for each in (fact.name, fact.says, fact.words, fact.source, *fact.sums):
                assert packed(each) in told, each
    for setting in view.settings:
        for each in (setting.name, setting.when, setting.reason, setting.wrong):
            assert packed(each) in told, each
    for row in (*view.family, *view.reversals):
        assert packed(getattr(row, "means", "") or row.swap) in told
    for each in (view.reversing, view.guesses, view.date, *view.cautions, CLOSING):
        assert packed(each) in told, each


@pytest.mark.parametrize("variant", EVERY)
def test_the_wall_says_all_of_its_view(variant):
    view = wall_view(made(variant).machine, made(variant).settings, date=DATE, findings=made(variant).findings)
    told = packed(text(wall(variant)))
    for axis in view.axes:
        for pair in (axis.travel, axis.speed, axis.step, axis.relock, axis.growl):
            for each in (pair.first, pair.second) if pair else ():
                assert packed(each) in told, each
        assert axis.plus in told
        assert packed(axis.growl_unknown) in told
    blanks = ("Valid until", "Measure again by", "Only this person changes settings")
    for each in (
        *view.start,
        *view.stop,
        *view.cautions,
        view.falls,
        view.falls_do,
        view.danger,
        view.guesses,
        *blanks,
    ):
        assert packed(each) in told, each
    assert packed(view.unsettled) in told
    assert told.endswith(packed(CLOSING))


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_printed_not_obeyed(name):
    assert packed(name) in packed(text(wall(PLOVER, name=name)))
    assert packed(name) in packed(text(numbers(PLOVER, name=name)))


def test_a_hostile_finding_is_printed_not_obeyed():
    found = {"level": "ask", "says": '#panic("says") $x$', "do": "*do* ] #import"}
    view = numbers_view(made(PLOVER).machine, made(PLOVER).settings, findings=[found])
    told = text(print_sheet(view, "a4"))
    assert 'ASK #panic("says") $x$ *do* ] #import' in told


@pytest.mark.parametrize("name", ["M" * 60, LONG, "i" * 60])
def test_a_long_name_is_whole(name):
    assert len(name) == 60
    assert packed(name) in packed(text(wall(PLOVER, "letter", name)))


def test_many_findings_are_counted_where_there_is_no_room():
    found = {"level": "ask", "says": "something to look at, told in a sentence of some length. " * 2, "do": "Look."}
    view = numbers_view(made(PLOVER).machine, made(PLOVER).settings, findings=[found] * 90)
    printed = print_sheet(view, "letter", drawn(PLOVER))
    assert len(pages(printed)) == 2
    told = text(printed)
    shown, more = told.count("ASK something"), int(re.search(r"And ([0-9]+) more on the screen", told)[1])
    assert shown > 3
    assert shown + more == 90


def test_pictures_are_on_the_sheet_where_there_are_any():
    view = numbers_view(made(PLOVER).machine, made(PLOVER).settings, date=DATE)
    assert len(print_sheet(view, "a4", drawn(PLOVER))) > len(print_sheet(view, "a4")) + 5000


@pytest.mark.parametrize("variant", EVERY)
def test_nothing_is_left_open(variant):
    for printed in (wall(variant), numbers(variant)):
        assert not re.search(r"\bNone\b|\bnan\b|\binf\b|[{}]|[0-9]e[+-]?[0-9]", text(printed))


@pytest.mark.parametrize("sheet", [numbers, wall])
def test_the_same_view_makes_the_same_bytes(sheet):
    assert sheet.__wrapped__(PLOVER) == sheet.__wrapped__(PLOVER)
    assert sheet(PLOVER) != sheet(PLOVER, "letter")


@pytest.mark.parametrize("sheet", [numbers, wall])
def test_no_font_of_the_system_is_used(sheet):
    for page in pages(sheet(PLOVER, name="\N{GRINNING FACE}")):
        fonts = {font["/BaseFont"].partition("+")[2] for font in page["/Resources"]["/Font"].values()}
        assert fonts
        assert all(font.startswith(("LibertinusSerif", "DejaVuSans")) for font in fonts), fonts


def test_only_black_white_and_grey_are_printed():
    for page in (*pages(numbers(PLOVER)), *pages(wall(PLOVER))):
        drawn = page.get_contents().get_data().decode("latin-1")
        coloured = re.findall(r"([0-9.]+) ([0-9.]+) ([0-9.]+) (?:rg|RG|scn|SCN)\b", drawn)
        assert all(red == green == blue for red, green, blue in coloured)
