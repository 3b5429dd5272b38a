"""What can be wrong with what a phone sends, told so that the crew knows what to do."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

BATCH_SHAPE = FaultKind(
    code="sync-shape",
    what="what the phone sent cannot be read: {why}",
    limit="one JSON object with a list of events, each name once, plain numbers",
    remedy="load the page again; what the phone keeps is not lost and will be sent again",
)
BATCH_LARGE = FaultKind(
    code="sync-large",
    what="the phone sent too much at once",
    limit="at most {most} entries a time",
    remedy="the phone sends less by itself; or hand over by file",
)
HANDOVER_SHAPE = FaultKind(
    code="handover-shape",
    what="this is not a phone's file",
    limit="one entry a line, as the button Hand over by file writes it; at most {most} entries",
    remedy="write the file anew on the phone's page What is kept where",
)
POINT_EMPTY = FaultKind(
    code="shot-point-empty",
    what="the shot has no point",
    limit="a grid label such as C4, or a name of at most 40 characters",
    remedy="say which point the rod stood on",
)
SETUP_EMPTY = FaultKind(
    code="shot-setup-empty",
    what="the shot does not say from which set-up it was read",
    limit="at most 20 characters; the first stand of the laser is 1",
    remedy="write the number of the laser's stand",
)
PLACE_HALF = FaultKind(
    code="shot-place-half",
    what="the shot has only one of x and y",
    limit="both, each with its unit, or none for a grid point or a benchmark",
    remedy="measure the other, or leave both empty",
)
KIND_UNKNOWN = FaultKind(
    code="shot-kind",
    what="there is no such kind of shot",
    limit="{known}",
    remedy="choose one of these",
)
NOTE_EMPTY = FaultKind(
    code="note-empty",
    what="there is nothing in it",
    limit="at least one word",
    remedy="write what should be known, then keep it",
)
PHOTO_PIECE = FaultKind(
    code="photo-piece",
    what="this piece of a photo does not fit: {why}",
    limit="pieces in order, at most {most} bytes in all, a JPEG as the field page makes it",
    remedy="the phone begins again by itself; readings do not wait for photos",
)
