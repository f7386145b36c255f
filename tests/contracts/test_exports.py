"""What a module offers is what its ``__all__`` says: sorted, real, and nothing forgotten."""

import ast
import importlib
import pkgutil
from pathlib import Path
from types import ModuleType

import pytest

import cutworthy

# Run by name, not imported: the entry point, and the file by which the notebook is brought up to date.
RUN = {"cutworthy.__main__", "cutworthy.store.migrations.env"}
MODULES = sorted({module.name for module in pkgutil.walk_packages(cutworthy.__path__, "cutworthy.")} - RUN)


def _defined(module: ModuleType) -> set[str]:
    """Return the public functions and classes that the module's own text defines."""
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    return {
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
    }


def _order(name: str) -> tuple[int, str]:
    """Constants first, then classes, then functions, as the linter sorts them."""
    return (0 if name.isupper() else 1 if name[0].isupper() else 2, name)


@pytest.mark.parametrize("name", MODULES)
def test_exports(name: str) -> None:
    module = importlib.import_module(name)
    exported = getattr(module, "__all__", [])
    assert list(exported) == sorted(set(exported), key=_order)
    assert [each for each in exported if not hasattr(module, each)] == []
    assert _defined(module) - set(exported) == set(), "public, but not offered: offer it or give it an underscore"
