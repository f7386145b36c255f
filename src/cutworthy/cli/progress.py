"""Shows how far long work is, on standard error and on a terminal only."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from cutworthy.cli.interrupt import go_on

__all__ = ["showing_progress"]


@contextmanager
def showing_progress(what: str) -> Iterator[Callable[[float], None]]:
    """Give a callable that takes the share done, 0 to 1."""
    if not sys.stderr.isatty():
        yield lambda _share: go_on()
        return
    from rich.console import Console  # noqa: PLC0415 - a quick answer needs no progress bar
    from rich.progress import Progress  # noqa: PLC0415

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=1.0)

        def tell(share: float) -> None:
            go_on()
            bar.update(task, completed=share)

        yield tell
