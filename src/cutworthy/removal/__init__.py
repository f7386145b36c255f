"""What the bits take from the board, and what is left of it."""

from cutworthy.removal.remove import remove

__all__ = ["remove"]
