"""The notebook: what was entered, measured, decided and proved, and when. Nothing is ever changed or taken away."""

from cutworthy.store.notebook import Entry, Notebook, open_notebook

__all__ = ["Entry", "Notebook", "open_notebook"]
