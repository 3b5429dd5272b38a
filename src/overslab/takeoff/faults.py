"""What can be wrong with a takeoff."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NO_TOP = FaultKind(
    code="takeoff-no-top",
    what="There is no new top to measure concrete under.",
    limit="A takeoff needs one chosen kind of top.",
    remedy="See which wishes fight under newtop, change one of them, and walk the job again.",
)
