"""Starter cards: every key with what it is, where to read it, and whether it may be left out."""

from importlib.resources import files
from typing import Literal

from cutworthy.app.cards.load import CardKind

__all__ = ["starter"]


def starter(kind: CardKind | Literal["slot"]) -> str:
    """Return the text of a starter card; required values are ``"?"``, optional keys are commented out with ``#``."""
    return (files("cutworthy.app.cards") / "starters" / f"{kind}.toml").read_text(encoding="utf-8")
