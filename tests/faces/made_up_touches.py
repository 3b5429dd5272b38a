"""Touches of our own invention, met by nobody: what the faces are shown in their tests."""

from __future__ import annotations

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.checks import Check
from overslab.touches.records import Ready, Remedy, Size, Touch, Touches

INCH_M, FOOT_M = 0.0254, 0.3048


def made_up_touches(*, word: str = "", datum_m: float = 100 * FOOT_M) -> Touches:
    """A door whose tracks go up at a price, a wall whose boards are trimmed, a stair that holds."""
    door, wall = f"big door{word}", f"back wall{word}"
    seal = Check(
        "above the sill", "gap_m", 2 * INCH_M, "at most", 0.5 * INCH_M, "an invented guide",
        where=door, at=(2.4, 0.0),
    )  # fmt: skip
    boards = Check(
        "boards above the floor", "gap_m", 1.75 * INCH_M, "at least", 2 * INCH_M,
        "an invented code, 2001 (memory)", where=wall, at=(1.0, 3.0),
    )  # fmt: skip
    even = Check("risers even", "difference_m", 0.0, "at most", 0.375 * INCH_M, "an invented code")
    tracks = Remedy(
        "Raise the tracks by", 2 * INCH_M, "door technician", "after the pour", cost=640.0,
        sizes=(Size("its ramp", "length_m", 2 * FOOT_M),), about=door,
        ready=f"the door technician has looked at {door}",
    )  # fmt: skip
    trim = Remedy(
        "Trim the boards by", 0.25 * INCH_M, "carpenter", "before the pour", about=wall,
        ready=f"the boards of {wall} are trimmed",
    )  # fmt: skip
    springs = Remark("warn", f"Springs maim.{word}")
    signed = Ready("the heights are signed", "owner")
    return Touches(
        touches=(
            Touch(
                door, "overhead door", (2.4, 0.0), datum_m, datum_m + 4 * INCH_M, 4 * INCH_M,
                (seal,), False, (tracks,), (springs,), line=((1.5, 0.0), (3.5, 0.0)), moved=True,
            ),
            Touch(
                wall, "wall", (1.0, 3.0), datum_m, datum_m + 3 * INCH_M, 3 * INCH_M, (boards,),
                False, (trim,), line=((0.5, 3.0), (1.5, 3.0)),
            ),
            Touch(
                "stair", "stair", (1.0, 1.0), datum_m, datum_m + 3 * INCH_M, 3 * INCH_M, (even,),
                True, (),
            ),
        ),
        trades=("carpenter", "door technician"),
        readiness=(
            signed,
            Ready(trim.ready, "carpenter", (signed.what,), wall),
            Ready(tracks.ready, "door technician", (signed.what,), door),
        ),
        assumptions=(Assumption("kind of the door", "overhead", "nothing was said"),),
        remarks=(
            springs,
            Remark("warn", "Local codes govern."),
            Remark("ask", f"How high is the head?{word}"),
        ),
        currency="$",
    )  # fmt: skip
