"""The checks of the house see what they are there to see."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

TOOLS = Path(__file__).resolve().parents[2] / "tools"

SOUND = '''
def gap(first_mm, second_mm, *others_mm):
    """Return the gap.

    Parameters
    ----------
    first_mm, second_mm
        Two places [mm].
    *others_mm : float
        More of them.

    Returns
    -------
    float
        The gap [mm], after [@known].
    """
'''


@pytest.fixture
def check_docstrings(tmp_path: Path) -> ModuleType:
    return _tool("check_docstrings", tmp_path)


@pytest.fixture
def check_docs(tmp_path: Path) -> ModuleType:
    return _tool("check_docs", tmp_path)


def _tool(name: str, root: Path) -> ModuleType:
    """Return the script as a module that looks at another root."""
    spec = importlib.util.spec_from_file_location(name, TOOLS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.ROOT = root  # type: ignore[attr-defined]
    return module


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        (SOUND, []),
        (SOUND.replace("first_mm, second_mm, *", "second_mm, first_mm, *"), [":2: gap takes"]),
        (SOUND.replace("*others_mm)", "limit_mm, *others_mm)"), [":2: gap takes"]),
        (SOUND.replace("@known", "@unknown"), [":15: [@unknown]"]),
        ("def long():\n" + "    pass\n" * 40, [":1: long has 41 lines"]),
        ('def told():\n    """Told.\n' + "\n" * 40 + '    """\n', []),
        ("\n" * 401, [":1: 401 lines"]),
    ],
)
def test_docstrings_and_lengths(check_docstrings: ModuleType, tmp_path: Path, text: str, faults: list[str]) -> None:
    module = tmp_path / "module.py"
    module.write_text(text, encoding="utf-8")
    found = list(check_docstrings.faults_of(module, {"known"}))
    assert len(found) == len(faults)
    assert all(part in fault for part, fault in zip(faults, found, strict=True))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[there](other.md#a-heading-with-code)\n", None),
        ("[there](#here)\n\n# Here\n", None),
        ("[out](https://example.org)\n", None),
        ("```\n[no link](missing.md)\n```\n", None),
        ("[gone](missing.md)\n", "no file missing.md"),
        ("[gone](other.md#missing)\n", "no heading other.md#missing"),
    ],
)
def test_links(check_docs: ModuleType, tmp_path: Path, text: str, fault: str | None) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "other.md").write_text("## A heading with `code`\n", encoding="utf-8")
    (tmp_path / "docs" / "page.md").write_text(text, encoding="utf-8")
    assert list(check_docs.broken_links()) == ([f"docs/page.md: {fault}"] if fault else [])


@pytest.mark.parametrize(
    ("name", "line", "fault"),
    [
        ("page.md", "all is well", None),
        ("page.md", "a space too many ", "white space at the end of the line"),
        ("program.nc", "G0 X0 ", None),
        ("page.md", "see /ro" + "ot/notes", "a path of one machine"),
        ("page.md", "an index at py" + "pi.org", "the name of a package registry"),
    ],
)
def test_words_and_white_space(check_docs: ModuleType, tmp_path: Path, name: str, line: str, fault: str | None) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / name).write_text(f"{line}\n", encoding="utf-8")
    assert list(check_docs.wrong_text()) == ([f"docs/{name}:1: {fault}"] if fault else [])
