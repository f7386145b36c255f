"""The numbers of ``cutting.toml``: what an edge needs to cut."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["cutting"]


@cache
def cutting() -> Mapping[str, Any]:
    """Return the whole of ``cutting.toml``."""
    return tomllib.loads((files("cutworthy.reference") / "cutting.toml").read_text(encoding="utf-8"))
