"""A file of readings: what a person types or a spreadsheet saves is read, and each mistake is told with its line."""

import math
import string
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from cutworthy.app.readings import load_readings
from cutworthy.errors import FileError, InputError, ReadingsError
from cutworthy.workflows.commission import kind_of

TIME = kind_of("time")
CLEAN = "program,seconds\ntiming-1-corners.nc,161.3\ntiming-2-short-lines.nc,205.8\n"
ROWS = (
    {"program": "timing-1-corners.nc", "seconds": 161.3},
    {"program": "timing-2-short-lines.nc", "seconds": 205.8},
)


@pytest.fixture
def read(tmp_path):
    def run(text):
        file = tmp_path / "timing.csv"
        file.write_bytes(text if isinstance(text, bytes) else text.encode())
        return load_readings(file, TIME)

    return run


@pytest.fixture
def refused(read, tmp_path):
    """Return the line and the text of each mistake."""

    def run(text):
        with pytest.raises(ReadingsError) as wrong:
            read(text)
        told = []
        for fault in str(wrong.value).split("\n"):
            place, _, what = fault.partition(": ")
            file, _, line = place.rpartition(", line ")
            assert file == str(tmp_path / "timing.csv")
            assert ";" in what  # what is wrong; what to do
            told.append((int(line), what))
        return told

    return run


@pytest.mark.parametrize(
    "text",
    [
        CLEAN,
        CLEAN.rstrip("\n"),
        CLEAN.replace("\n", "\r\n"),
        CLEAN.replace("\n", "\r"),
        "\ufeff" + CLEAN,
        "\ufeff" + CLEAN.replace("\n", "\r\n"),
        "\n\n" + CLEAN.replace("\n", "\n \t\n") + "\n\n",
        "# instrument: phone\n" + CLEAN.replace("\nt", "\n# read twice\nt"),
        CLEAN.replace(",", " ,\t "),
        CLEAN.replace("program,seconds", " Program , SECONDS"),
        CLEAN.replace("timing-1-corners.nc", '"timing-1-corners.nc"').replace("205.8", '"205.8"'),
        CLEAN.replace("\nt", ",who\nt", 1).replace("161.3", "161.3,Marina").replace("205.8", '205.8,"Finn, again"'),
        "seconds,program\n161.3,timing-1-corners.nc\n205.8,timing-2-short-lines.nc\n",
    ],
)
def test_the_same_readings_in_many_spellings(read, text):
    assert read(text).rows == ROWS


def test_each_reading_knows_its_line(read):
    assert read(CLEAN).lines == (2, 3)
    assert read("# date: 2026-03-14\r\n\r\n" + CLEAN.replace("\n", "\r\n\r\n")).lines == (5, 7)


def test_what_holds_for_all_rows_stands_on_top(read):
    facts = read("# instrument: a phone\n#Date :2026-03-14  \n# done by Marina\n" + CLEAN).facts
    assert facts == {"instrument": "a phone", "date": "2026-03-14"}


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [
        ("312.4", 312.4),
        ("312", 312),
        ("312.4 s", 312.4),
        ("312.4s", 312.4),
        ("5:12.4", 312.4),
        ("05:02", 302),
        ("0:59.9", 59.9),
        ("90:00", 5400),
        ("1:05:12.4", 3912.4),
        ("86400", 86400),
        ("5 min 12.4 s", 312.4),
        ("5m12", 312),
        ('"312,4"', 312.4),
        ('"5:12,4"', 312.4),
    ],
)
def test_a_time_as_people_write_it(read, typed, seconds):
    (row,) = read(f"program,seconds\nrun.nc,{typed}\n").rows
    assert row["seconds"] == pytest.approx(seconds, rel=1e-12)


@pytest.mark.parametrize(
    "typed",
    [
        "0", "-3", "-5:12", "nan", "NaN", "inf", "-inf", "infinity", "1e9", "1e400", "86400.1", "9" * 400,
        "9" * 400 + ":00", "5:60", "5:75.2", "1:60:00", "1:75:12", "5:1:2:3", "5.12.4", "5 min", "5'12", "0x10",
        "about 300", "--", "5:", ":12", "1:2:",
    ],
)  # fmt: skip
def test_what_is_no_time_is_told_with_what_to_write(refused, typed):
    ((line, what),) = refused(f"program,seconds\nrun.nc,{typed}\n")
    assert line == 2
    assert what.startswith("seconds is ")
    assert "5:12.4" in what
    assert "312.4" in what


def test_a_comma_in_a_number_is_answered_by_a_number_with_a_point(refused):
    ((line, what),) = refused("program,seconds\nrun.nc,312,4\n")
    assert line == 2
    assert "with a point" in what


@pytest.mark.parametrize("between", [";", "\t"])
def test_columns_as_other_spreadsheets_save_them(read, between):
    told = CLEAN.replace(",", between).replace(".3", ",3").replace(".8", ",8")
    assert read(told).rows == ROWS


def test_a_run_that_is_not_timed_yet_is_left_out(read):
    assert read(CLEAN + "timing-3-longer-lines.nc,\n,\n").rows == ROWS


@pytest.mark.parametrize(
    ("header", "named"),
    [
        ("program,time", ["seconds"]),
        ("file,seconds", ["program"]),
        ("file,time", ["program", "seconds"]),
        ("program,seconds,seconds", ["seconds"]),
        ("timing-1-corners.nc,161.3", ["program", "seconds"]),
    ],
)
def test_a_wrong_header_names_each_column_once_and_nothing_else(refused, header, named):
    told = refused(f"{header}\n" + "".join(f"{','.join('5' * (header.count(',') + 1))}\n" for _ in range(4)))
    assert [line for line, _ in told] == [1] * len(named)
    for name, (_, what) in zip(named, told, strict=True):
        assert f"column {name}" in what
        assert "program,seconds" in what


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("run.nc", "1 column"),
        ("run.nc,1,2", "3 columns"),
        (",312.4", "program is empty"),
    ],
)
def test_a_row_that_is_not_whole(refused, row, said):
    ((line, what),) = refused(f"program,seconds\n{row}\n")
    assert line == 2
    assert said in what


def test_all_mistakes_at_once_in_the_order_of_the_file(refused):
    text = "# a note\nprogram,seconds\nrun.nc,soon\n\n,312.4\nrun.nc\nrun.nc,161.3\nrun.nc,-1\n"
    assert [line for line, _ in refused(text)] == [3, 5, 6, 8]


@pytest.mark.parametrize("text", ["# nothing but a note\n", "program,seconds\n", "program,seconds\n\n# later\n"])
def test_a_file_without_readings_says_what_to_write(refused, text):
    ((_, what),) = refused(text)
    assert "write" in what
    assert "program,seconds" in what or "timing-1-corners.nc,312.4" in what


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"\r\n \n", "empty"),
        (CLEAN.encode("utf-16"), "UTF-16"),
        (CLEAN.replace("corners", "Möwe").encode("latin-1"), "UTF-8 (line 2)"),
        (CLEAN.encode() + b"\0" * 20, "no text"),
        (CLEAN.encode() + b"#" * 1_000_001, "larger"),
    ],
)
def test_a_file_that_is_no_text_is_refused_without_talk_of_cards(read, data, said):
    with pytest.raises(FileError) as wrong:
        read(data)
    assert said in str(wrong.value)
    assert "card" not in str(wrong.value)


@pytest.mark.parametrize("name", [".", "nothing.csv"])
def test_a_missing_file_or_a_folder_is_refused_without_talk_of_cards(tmp_path, name):
    with pytest.raises(FileError) as wrong:
        load_readings(tmp_path / name, TIME)
    assert str(tmp_path / name) in str(wrong.value)
    assert "card" not in str(wrong.value).replace(str(tmp_path), "")


def test_a_cell_as_long_as_a_book_is_told_not_crashed_on(refused):
    (line, _), *_ = refused(f"program,seconds\n{'r' * 200_000},x\n")
    assert line == 2


def test_more_rows_than_are_read_are_told_not_dropped(read):
    with pytest.raises(ReadingsError, match=r"10.?000"):
        read("program,seconds\n" + "run.nc,312.4\n" * 10_001)


def test_control_characters_are_shown_as_escapes(refused):
    told = refused("program,seconds\nrun.nc,\x1b[31m5\nrun.nc,6\x07\n")
    assert len(told) == 2
    assert all(what.isprintable() for _, what in told)
    assert "\\x1b" in told[0][1]


CELLS = st.one_of(
    st.sampled_from(["program", "seconds", "run.nc", "312.4", "5:12.4", "312,4", "nan", "-0", '"', "#", "# a: b"]),
    st.text(max_size=8),
    st.floats().map(repr),
)  # fmt: skip
TABLES = st.lists(st.lists(CELLS, max_size=4).map(",".join), max_size=8).map("\n".join)
TEXTS = st.one_of(st.text(max_size=200), TABLES, TABLES.map("program,seconds\n{}".format))


@given(st.one_of(TEXTS.map(lambda text: text.encode("utf-8", "surrogatepass")), st.binary(max_size=200)))
@example(b'program,seconds\n"run.nc,5')
@example(b'program,seconds\nr"u"n.nc,"5"x\n')
@example("program,seconds\nrun.nc,\u0665\u2028run.nc,5".encode())
@example(f"program,seconds\n{string.printable},{string.whitespace}5".encode())
def test_any_file_gives_readings_or_a_plain_refusal(data):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "any.csv"
        file.write_bytes(data)
        try:
            readings = load_readings(file, TIME)
        except InputError as wrong:
            told = str(wrong).split("\n")
            assert all(fault.startswith(str(file)) for fault in told)
            assert all(fault.isprintable() for fault in told)
            return
    assert readings.rows
    assert len(readings.rows) == len(readings.lines)
    assert list(readings.lines) == sorted(set(readings.lines))
    for row in readings.rows:
        assert row.keys() == {"program", "seconds"}
        assert row["program"]
        assert math.isfinite(row["seconds"])
        assert 0 < row["seconds"] <= 86_400
