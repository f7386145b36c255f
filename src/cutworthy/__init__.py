"""Says whether this file, on this machine, with this board, is fit to cut."""

__version__ = "0.1.0"
__all__ = ["__version__"]
