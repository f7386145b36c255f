"""What the bits take from the board, and what is left of it."""

from cutworthy.removal.remove import remove
from cutworthy.removal.standing import standing

__all__ = ["remove", "standing"]
