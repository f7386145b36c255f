"""The demo job: where its cards lie, and what the demo leaves behind."""

from collections.abc import Callable
from pathlib import Path

from cutworthy.app.files import write_document, write_picture
from cutworthy.app.proofs import Proof, prove_job
from cutworthy.errors import FileError
from cutworthy.present.plan import plan_view
from cutworthy.present.relief import relief_view
from cutworthy.sheets.plan import draw_plan
from cutworthy.sheets.relief import draw_relief

__all__ = ["demo_folder", "run_demo"]

FOLDER = Path("cutworthy-demo")
JOB = "plaque.toml"


def demo_folder() -> Path:
    """Return the folder of the Tidewater Workshop's cards: inside an installed package, or in the checkout."""
    package = Path(__file__).resolve().parent
    places = (package / "tidewater", package.parents[2] / "examples" / "tidewater")
    for place in places:
        if (place / JOB).is_file():
            return place
    msg = "the demo's cards are missing; install cutworthy again"
    raise FileError(msg)


def run_demo(progress: Callable[[float], None]) -> tuple[Proof, list[Path]]:
    """Prove the demo job, write its outcome, its plan and the board as it is left; return proof and files."""
    (proof,) = prove_job(demo_folder() / JOB, progress=progress)
    outcome, plan, board = (FOLDER / name for name in ("outcome.json", "plan.png", "board.png"))
    told = proof.outcome, proof.card.record, proof.machine_card.record
    write_document(outcome, proof.document)
    write_picture(plan, draw_plan(plan_view(*told)))
    write_picture(board, draw_relief(relief_view(*told)))
    return proof, [outcome, plan, board]
