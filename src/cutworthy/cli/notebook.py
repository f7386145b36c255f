"""The commands about the notebook."""

from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

import typer

from cutworthy.cli.printing import print_json, print_page
from cutworthy.present.page import Line
from cutworthy.present.plain import plain

__all__ = ["diff", "export", "history", "note", "now", "take_in", "tell_kept"]

Json = Annotated[bool, typer.Option("--json", help="Print one document, for other programs.")]


def history(
    machine: Annotated[str | None, typer.Argument(metavar="NAME", help="The machine's name; without it all.")] = None,
    *,
    json: Json = False,
) -> None:
    """Tell what stands in the notebook, the newest first."""
    from cutworthy.app.notebook import history as tell  # noqa: PLC0415 - a database is slow to load

    _show(tell(machine), json=json)


def diff(
    first: Annotated[str, typer.Argument(metavar="OLD.toml", help="A machine card, or a machine's name.")],
    second: Annotated[Path | None, typer.Argument(metavar="NEW.toml", help="The other card.")] = None,
    *,
    json: Json = False,
) -> None:
    """Tell what changed between two machine cards.

    Without a second one: between the last two of a machine in the notebook.
    """
    from cutworthy.app.notebook import compare  # noqa: PLC0415 - a database is slow to load

    _show(compare(first, second), json=json)


def note(
    text: Annotated[str, typer.Argument(help="A few words, between quotes.")],
    *,
    machine: Annotated[str | None, typer.Option(help="The machine's name.")] = None,
) -> None:
    """Write a few words into the notebook."""
    from cutworthy.app.notebook import keep_note  # noqa: PLC0415 - a database is slow to load

    tell_kept(keep_note(text, machine=machine, at=now()), json=False)


def export(
    folder: Annotated[Path, typer.Argument(help="A new folder.")],
    *,
    json: Json = False,
) -> None:
    """Write the whole notebook as plain text and tables."""
    from cutworthy.app.notebook import export as write_out  # noqa: PLC0415 - a database is slow to load

    _show(write_out(folder), json=json)


def take_in(
    folder: Annotated[Path, typer.Argument(help="A folder that export has written.")],
    *,
    json: Json = False,
) -> None:
    """Take an export into the notebook."""
    from cutworthy.app.notebook import import_folder  # noqa: PLC0415 - a database is slow to load

    _show(import_folder(folder), json=json)


def tell_kept(place: str, *, json: bool) -> None:
    """Say where something was kept; with JSON nothing but the document is printed."""
    if not json:
        print_page([Line(text=f"Kept in {plain(place)}")])


def now() -> datetime:
    """Return this moment, by the clock on the wall."""
    return datetime.now().astimezone()


def _show(answer: Any, *, json: bool) -> None:  # noqa: ANN401 - any answer with a document and a page
    print_json(answer.document) if json else print_page(answer.page)
