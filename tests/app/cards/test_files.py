"""Files that are no card: each says what it is and what to do."""

import errno
from pathlib import Path

import pytest

from cutworthy.app.cards import load_job, load_machine
from cutworthy.errors import FileError

HERE = Path(__file__).parent


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty"),
        (b" \n\t\r\n", "is empty"),
        ("[machine]\n".encode("utf-16"), "UTF-16"),
        ("[machine]\n".encode("utf-16-be"), "NUL"),
        (b"\x7fELF\x02\x01\x01\0\0", "NUL"),
        (b'[machine]\nname = "Pl\xf6ver"\n', r"UTF-8 \(line 2\)"),
        (b"# " + b"x" * 1_000_000, "larger than 1 MB"),
    ],
)
def test_no_text(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "plover.toml"
    path.write_bytes(data)
    with pytest.raises(FileError, match=says) as caught:
        load_machine(path)
    assert "plover.toml" in str(caught.value)


def test_missing(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="does not exist"):
        load_job(tmp_path / "none.toml")


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="is a folder"):
        load_machine(tmp_path)


def test_a_name_that_no_file_can_have() -> None:
    with pytest.raises(FileError, match="cannot be read"):
        load_machine(Path("a\0b.toml"))


def test_a_file_of_somebody_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plover.toml"
    path.write_text("[machine]")

    # What the system says to one who may not read it; the one who runs the tests may be allowed everything.
    def forbidden(*_args: object, **_options: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", forbidden)
    with pytest.raises(FileError, match="cannot be read"):
        load_machine(path)


@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_other_editors(tmp_path: Path, bom: bytes, end: bytes) -> None:
    path = tmp_path / "plover.toml"
    path.write_bytes(bom + (HERE / "full-machine.toml").read_bytes().replace(b"\n", end))
    assert load_machine(path).record == load_machine(HERE / "full-machine.toml").record
