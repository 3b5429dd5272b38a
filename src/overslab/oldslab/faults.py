"""What can be wrong with the shots of an old floor; faults of the plan's lines: ``ground.plan``."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NO_FLOOR_SHOTS = FaultKind(
    code="floor-no-shots",
    what="No shot of the kind floor is given.",
    limit="At least three floor shots that do not stand on one line.",
    remedy="Shoot the floor on a grid, at every edge, crack, drain and low spot; kind is floor.",
)
TOO_FEW_SHOTS = FaultKind(
    code="floor-too-few-shots",
    what="The floor shots stand at {count} places, all {shape}.",
    limit="At least three places that do not stand on one line, or no tilt can be told.",
    remedy="Shoot at least the corners and the middle of the floor.",
)
SHOTS_OUTSIDE = FaultKind(
    code="floor-shots-outside",
    what="Floor shots stand outside the floor: {names}.",
    limit="On the floor, not in a hole; up to {snap} over the edge is taken to be at the edge.",
    remedy="Correct x and y of these shots, or the outline or hole; a shot beside the floor has "
    "another kind, such as drive or step.",
)
SHOT_NOT_A_NUMBER = FaultKind(
    code="floor-shot-not-a-number",
    what="The place or height of floor shots is not a number: {names}.",
    limit="Every floor shot has a finite x, y and height with a finite standard error.",
    remedy="Correct the lines of these shots.",
)
PANEL_WITHOUT_SHOTS = FaultKind(
    code="floor-panel-without-shots",
    what="The piece of floor round {where} ({name}, cut off by breaks) has no shot of its own.",
    limit="At least one shot clear of the break lines on every piece; three to tell its tilt. "
    "No height is carried across a break.",
    remedy="Shoot that piece, or take out the break that cuts it off if the floor does not step "
    "there.",
)
FEATURE_WITHOUT_SHOTS = FaultKind(
    code="floor-feature-without-shots",
    what="The {kind} {name} has no shot of its own.",
    limit="At least one shot in every pit, trench and pad, clear of its edge; its level is never "
    "guessed from the floor round it.",
    remedy="Shoot the {kind} near {where}, or take it out of the plan.",
)
HEIGHTS_APART = FaultKind(
    code="floor-heights-apart",
    what="Floor shots lie farther above or below the rest than any floor reaches: {names}.",
    limit="Within {most} of the middle height of the floor shots (our limit).",
    remedy="Look for a wrong unit, set-up or benchmark in the lines of these shots.",
)
STEP_UNFIT = FaultKind(
    code="floor-lattice-step",
    what="The step of the lattice does not suit this floor.",
    limit="From {least} up, and at most {cells} cells on the floor (our limits).",
    remedy="Leave the step out, or give one between {low} and {high}.",
)
HEIGHTS_UNFIT = FaultKind(
    code="floor-heights-contradict",
    what="No surface can be laid through the floor shots.",
    limit="Heights and their standard errors of a size that a floor can have.",
    remedy="Look for a shot with a height or a standard error far from all others, and for a "
    "set-up tied to the wrong benchmark.",
)
