"""The commands. Each is options, one call, print, exit code."""

import sys
import tempfile
import traceback
from pathlib import Path
from typing import Annotated, Literal

import typer

import cutworthy
from cutworthy.cli.interrupt import listen
from cutworthy.cli.notebook import diff, export, history, note, now, take_in, tell_kept
from cutworthy.cli.printing import print_error, print_json, print_json_lines, print_json_with, print_page
from cutworthy.cli.progress import showing_progress
from cutworthy.errors import InputError, Stopped
from cutworthy.present.page import Line
from cutworthy.present.plain import plain

__all__ = ["app", "demo", "measure", "new", "picture", "prove", "read", "run", "settings", "sheet", "trial", "welcome"]

EXIT = {"go": 0, "no-go": 1, "ask": 3}
USAGE, OUR_FAULT, STOPPED = 2, 4, 130
NO_CLAMP = "--clamp is for where a clamp may stand; add --place"
NO_COLOUR = "--colour is for the plan of the cuts, which --place does not draw; give only one of the two"
BOTH = "--json prints one document and --json-lines one move to a line; give only one of the two"
# What every wrong word on the command line raises: click's, or that of typer's own copy of it, by version.
USAGE_ERROR: type[Exception] = typer.BadParameter.__bases__[0]

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Is this file, on this machine, with this board, bit, clamps and zero, fit to cut?",
)
Json = Annotated[bool, typer.Option("--json", help="One document on standard output, for other programs.")]


@app.callback(invoke_without_command=True)
def welcome(
    context: typer.Context, *, version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False
) -> None:
    """Is this file, on this machine, with this board, bit, clamps and zero, fit to cut?"""
    if version:
        typer.echo(f"cutworthy {cutworthy.__version__}")
    elif context.invoked_subcommand is None:
        typer.echo(context.get_help())


Readings = Literal[
    "circle", "flatness", "positioning", "proof-load", "reversal", "runout", "scale", "square-diagonals",
    "square-flip", "test-piece", "time", "tram",
]  # fmt: skip


@app.command()
def demo(*, json: Json = False) -> None:
    """Prove the demo job; its outcome and pictures go to ./cutworthy-demo/."""
    from cutworthy.app.demo import run_demo  # noqa: PLC0415 - pictures are slow to load, other commands need none

    with showing_progress("Proving the demo") as progress:
        proof, files = run_demo(progress)
    if json:
        print_json(proof.document)
        return
    written = "Written: " + ", ".join(plain(path.as_posix()) for path in files)
    print_page([*proof.page, Line(text=""), Line(text=written)])


@app.command()
def new(
    kind: Annotated[Literal["machine", "job"], typer.Argument(help="Which card.")],
    file: Annotated[Path | None, typer.Argument(help="Where to write it; without it the card is printed.")] = None,
    *,
    json: Json = False,
) -> None:
    """Give a starter card to fill in."""
    from cutworthy.app.cards import starter  # noqa: PLC0415 - only this command needs the starters
    from cutworthy.app.files import write_new  # noqa: PLC0415

    text = starter(kind)
    if file is not None:
        write_new(file, text)
    if json:
        print_json({"kind": kind, "file": file.as_posix() if file else None, "text": text})
    else:
        typer.echo(
            text if file is None else f'Written: {plain(str(file))}. Open it in any text editor and fill in each "?".'
        )


@app.command()
def prove(  # noqa: PLR0913 - each option is an argument
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="The job card.")],
    *,
    program: Annotated[Path | None, typer.Option(help="A program to take instead of the card's.")] = None,
    machine: Annotated[
        list[Path] | None, typer.Option(help="A machine card to take instead; may be given more than once.")
    ] = None,
    save: Annotated[Path | None, typer.Option(help="Write the outcome to this file as well.")] = None,
    worst: Annotated[bool, typer.Option("--worst", help="Tell the twenty lines that come nearest to a limit.")] = False,
    working: Annotated[bool, typer.Option("--working", help="Show how the numbers were worked out.")] = False,
    keep: Annotated[bool, typer.Option("--keep", help="Keep cards and outcome in the notebook.")] = False,
    json: Json = False,
) -> None:
    """Say go, ask or no-go to a job, with the reasons."""
    from cutworthy.app.proofs import prove_and_save  # noqa: PLC0415 - help needs no engine

    with showing_progress("Proving") as progress:
        answer = prove_and_save(
            job,
            program=program,
            machines=machine or (),
            save=save,
            working=working,
            worst=worst,
            progress=progress,
        )
    if json:
        print_json(answer.document)
    else:
        written = [Line(text=""), Line(text=f"Written: {plain(save.as_posix())}")] if save else []
        print_page([*answer.page, *written])
    if keep:
        from cutworthy.app.notebook import keep_proofs  # noqa: PLC0415 - a database is slow to load

        tell_kept(keep_proofs(answer.proofs, at=now()), json=json)
    raise typer.Exit(EXIT[answer.verdict])


@app.command()
def settings(
    machine: Annotated[Path, typer.Argument(metavar="MACHINE.toml", help="The machine card.")],
    *,
    what_if: Annotated[
        list[str] | None,
        typer.Option(metavar="KEY=VALUE", help="Try a change, before and after; may be given more than once."),
    ] = None,
    upgrades: Annotated[bool, typer.Option("--upgrades", help="Rank single changes by what they buy.")] = False,
    variations: Annotated[bool, typer.Option("--variations", help="The numbers for other parts, as a table.")] = False,
    working: Annotated[bool, typer.Option("--working", help="Show how the numbers were worked out.")] = False,
    json: Json = False,
) -> None:
    """Say what to enter for a machine, and why."""
    from cutworthy.app.settings import settle_card  # noqa: PLC0415 - help needs no engine

    answer = settle_card(machine, changes=what_if or (), upgrades=upgrades, variations=variations, working=working)
    print_json(answer.document) if json else print_page(answer.page)
    raise typer.Exit(EXIT[answer.verdict])


@app.command()
def sheet(
    kind: Annotated[Literal["numbers", "wall", "job", "firstday", "readings"], typer.Argument(help="Which sheet.")],
    card: Annotated[
        Path,
        typer.Argument(metavar="CARD.toml", help="The machine card; for job the job card, for readings their kind."),
    ],
    *,
    to: Annotated[Path | None, typer.Option(help="The file to write; without it one named after the card.")] = None,
    paper: Annotated[
        Literal["a4", "letter"] | None, typer.Option(case_sensitive=False, help="What it is printed on.")
    ] = None,
    days: Annotated[int, typer.Option(min=1, max=3, help="Of firstday: the days that it is shared out on.")] = 1,
    json: Json = False,
) -> None:
    """Put on paper: numbers, wall, first day, ticket, readings form."""
    from cutworthy.app.sheets import make_form, make_sheet, make_ticket  # noqa: PLC0415 - paper is slow to load

    today = now().date()
    if kind == "job":
        with showing_progress("Proving") as progress:
            ticket = make_ticket(card, to=to, paper=paper, today=today, progress=progress)
        written = f"Written: {plain(ticket.file.as_posix())}. Print it at its own size, and take it to the machine."
        if json:
            print_json({"kind": kind, "file": ticket.file.as_posix(), "verdict": ticket.verdict})
        else:
            print_page([*ticket.head, Line(text=""), Line(text=written)])
        return
    with showing_progress("Printing"):
        if kind == "readings":
            file = make_form(str(card), to=to, paper=paper)
        else:
            file = make_sheet(kind, card, to=to, paper=paper, today=today, days=days)
    if json:
        print_json({"kind": kind, "file": file.as_posix()})
    else:
        print_page([Line(text=f"Written: {plain(file.as_posix())}. Print it in black and white, at its own size.")])


@app.command()
def picture(
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="The job card.")],
    *,
    place: Annotated[bool, typer.Option("--place", help="Draw where zero and clamps may stand.")] = False,
    clamp: Annotated[
        str | None,
        typer.Option(metavar="SIZE", help='Along x, along y, height, as "60 mm x 40 mm x 25 mm"; with --place.'),
    ] = None,
    colour: Annotated[
        Literal["speed", "depth", "order", "margin", "chip"] | None,
        typer.Option(help="What the colour of the cuts tells; else speed."),
    ] = None,
    to: Annotated[Path | None, typer.Option(help="The file, .png or .svg; without it one beside the card.")] = None,
    json: Json = False,
) -> None:
    """Draw a job from above: the board as it is left and its cuts, or where zero and clamps may stand."""
    from cutworthy.app.pictures import draw_job, draw_places_of  # noqa: PLC0415 - pictures are slow to load

    if clamp is not None and not place:
        raise InputError(NO_CLAMP)
    if colour is not None and place:
        raise InputError(NO_COLOUR)
    with showing_progress("Drawing") as progress:
        if place:
            answer = draw_places_of(job, to=to, clamp=clamp, progress=progress)
        else:
            answer = draw_job(job, to=to, colour=colour or "speed", progress=progress)
    print_json(answer.document) if json else print_page(answer.page)


@app.command()
def measure(
    kind: Annotated[Readings, typer.Argument(help="What was measured.")],
    readings: Annotated[Path, typer.Argument(metavar="READINGS.csv", help="The file with the readings.")],
    *,
    machine: Annotated[Path | None, typer.Option(help="The card of the machine they were taken on.")] = None,
    axis: Annotated[Literal["x", "y", "z"] | None, typer.Option(help="The axis, for what is measured on one.")] = None,
    write: Annotated[bool, typer.Option("--write", help="Write a changed card, dated, beside the old one.")] = False,
    keep: Annotated[bool, typer.Option("--keep", help="Keep readings and answer in the notebook.")] = False,
    json: Json = False,
) -> None:
    """Say what readings tell about a machine, and what to do."""
    from cutworthy.app.measure import measure as tell  # noqa: PLC0415 - help needs no engine

    with showing_progress("Comparing") as progress:
        answer = tell(
            kind,
            readings,
            machine=machine,
            axis=axis,
            write=write,
            today=now().date(),
            progress=progress,
        )
    print_json(answer.document) if json else print_page(answer.page)
    if keep:
        from cutworthy.app.notebook import keep_sitting  # noqa: PLC0415 - a database is slow to load

        tell_kept(keep_sitting(readings, machine, answer.document, at=now()), json=json)
    raise typer.Exit(EXIT["ask"] if answer.decision == "repeat" else 0)


@app.command()
def trial(
    kind: Annotated[
        Literal[
            "calibration",
            "circle",
            "repeat",
            "reversal",
            "square",
            "surfacing",
            "test-piece",
            "timing",
            "tram",
            "travel",
        ],
        typer.Argument(help="Which test."),
    ],
    machine: Annotated[Path, typer.Argument(metavar="MACHINE.toml", help="The machine card.")],
    *,
    to: Annotated[Path, typer.Option(help="The folder to write into.")] = Path(),
    run: Annotated[list[int] | None, typer.Option(help="Of timing, which run: 1 to 4; may be given again.")] = None,
    json: Json = False,
) -> None:
    """Write test programs for a machine, each proved first."""
    from cutworthy.app.trials import make_trials  # noqa: PLC0415 - help needs no engine

    with showing_progress("Proving the test programs") as progress:
        answer = make_trials(kind, machine, to=to, runs=run or (), progress=progress)
    print_json(answer.document) if json else print_page(answer.page)
    raise typer.Exit(EXIT[answer.verdict])


@app.command()
def read(
    program: Annotated[Path, typer.Argument(metavar="PROGRAM", help="The program file.")],
    *,
    strict: Annotated[bool, typer.Option("--strict", help="Hold it to the open standard, NISTIR 6556.")] = False,
    block_delete: Annotated[bool, typer.Option("--block-delete", help="Leave out lines that begin with /.")] = False,
    tools: Annotated[Path | None, typer.Option(help="A list of bits with their lengths, or the job card.")] = None,
    moves: Annotated[bool, typer.Option("--moves", help="Tell every move in words.")] = False,
    json: Json = False,
    json_lines: Annotated[bool, typer.Option("--json-lines", help="One move to a line, for other programs.")] = False,
) -> None:
    """Say what a program says, on no machine yet."""
    from cutworthy.app.programs import progress_label, read_and_tell  # noqa: PLC0415 - help needs no engine

    if json and json_lines:
        raise InputError(BOTH)
    with showing_progress(progress_label(program)) as progress:
        answer = read_and_tell(program, strict=strict, block_delete=block_delete, tools=tools, progress=progress)
    if json:
        print_json_with(answer.document, "move_list", answer.moves())
    elif json_lines:
        print_json_lines(answer.moves())
    else:
        print_page(answer.page(every_move=moves))
    raise typer.Exit(EXIT[answer.verdict])


def run() -> None:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a plain console can lack a quotation mark: show its code instead
            stream.reconfigure(errors="backslashreplace")
    listen()
    sys.exit(_guarded())


def _guarded() -> int:
    """Run the command and return its exit code; every error is told in plain words."""
    try:
        code = int(app(standalone_mode=False) or 0)
    except USAGE_ERROR as wrong:
        told = wrong.format_message().replace("Value error, ", "")  # type: ignore[attr-defined]  # click's own method
        print_error(f"cutworthy: {told}\nTry: {_command_of(wrong)} --help")
        code = USAGE
    except InputError as wrong:
        print_error(str(wrong))
        code = USAGE
    except (Stopped, KeyboardInterrupt, typer.Abort):
        code = STOPPED
    except Exception:  # noqa: BLE001 - the last line of defence: whatever it is, it is our fault
        print_error(f"cutworthy made a mistake of its own; it is written down in {_written_down()}")
        code = OUR_FAULT
    if code == STOPPED:  # from typer itself when the person pressed Ctrl-C
        print_error("Stopped.")
    return code


def _command_of(wrong: Exception) -> str:
    """Return the command whose help lists what was typed wrong."""
    context = getattr(wrong, "ctx", None)
    if context is None or context.parent is None:
        return "cutworthy"
    return f"cutworthy {context.info_name}"


def _written_down() -> str:
    """Write the traceback to a file and return its name."""
    with tempfile.NamedTemporaryFile("w", prefix="cutworthy-", suffix=".txt", delete=False, encoding="utf-8") as file:
        traceback.print_exc(file=file)
    return file.name


for _command in (history, diff, note, export):
    app.command()(_command)
app.command("import")(take_in)
