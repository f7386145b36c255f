"""The view record of the plan: where the bit goes, seen from above."""

from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Floats
from cutworthy.model.findings import Outcome
from cutworthy.model.job import Job
from cutworthy.model.machine import Machine
from cutworthy.model.program import Kind
from cutworthy.present.cuts import FINEST_SEEN, Colour, CutsByColour, cuts_by
from cutworthy.present.scene import Scene, known_from_above, scene_of
from cutworthy.present.show import Display
from cutworthy.present.ways import thinned, way_from_above

__all__ = ["PlanView", "plan_view"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanView:
    """What the plan shows, in the board's frame [mm].

    ``travels``: the way of fast travels (n, 2), with a row of NaN wherever it is broken.
    """

    scene: Scene
    cuts: CutsByColour
    travels: Floats


def plan_view(outcome: Outcome, job: Job, machine: Machine, colour: Colour = "speed") -> PlanView:
    """Return what the plan of a proven job shows, its cuts coloured by what they are asked to tell."""
    scene = scene_of(outcome, job, machine)
    moves, offset = outcome.program.moves, np.array(scene.zero.at_mm)
    known = known_from_above(moves)
    longest = max(scene.board.high_mm)
    travels = way_from_above(moves, (moves.kind == Kind.RAPID) & known, offset)
    return PlanView(
        scene=scene,
        cuts=cuts_by(colour, outcome, known, Display(machine.units), longest),
        travels=thinned(travels, longest * FINEST_SEEN),
    )
