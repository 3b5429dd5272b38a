"""What can be wrong with a request, a phone, a link, a picture, or a walk behind a page."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NOT_YOURS = FaultKind(
    code="page-not-yours",
    what="this page is not for you",
    limit="prices and settings are for the office; the crew sees shots, sheets and marks",
    remedy="ask the office to let this phone in, or go back to the first page",
)
PAGE_UNKNOWN = FaultKind(
    code="page-unknown",
    what="there is no such page",
    limit="pages are reached from the list of jobs",
    remedy="go back to the first page",
)
METHOD_WRONG = FaultKind(
    code="page-method",
    what="this page cannot be asked in that way",
    limit="looking never changes anything; changing is done by the buttons of a page",
    remedy="go back to the page and use its button",
)
FROM_ELSEWHERE = FaultKind(
    code="form-from-elsewhere",
    what="this was sent from another site and has changed nothing",
    limit="changes are only taken from pages of this laptop itself",
    remedy="open the page on this address and do it there",
)
FORM_STALE = FaultKind(
    code="form-stale",
    what="this form was opened before the last sign-in and has changed nothing",
    limit="a form is good for the sign-in it was opened under",
    remedy="go back, load the page again, and send it once more",
)
HOST_WRONG = FaultKind(
    code="host-unknown",
    what="this laptop does not answer to that name",
    limit="it answers to: {known}",
    remedy="use the address under the QR code on the office page, or add the name to the settings",
)
BODY_KIND = FaultKind(
    code="body-kind",
    what="this kind of content is not taken here",
    limit="taken are forms, JSON, and pictures; not packed",
    remedy="send it from the page itself",
)
BODY_LARGE = FaultKind(
    code="body-large",
    what="this is too large",
    limit="at most {most} here",
    remedy="send less at a time; a picture may be made smaller on the phone first",
)
BODY_SLOW = FaultKind(
    code="body-slow",
    what="this took too long to arrive",
    limit="{seconds} seconds for one request",
    remedy="try again nearer to the laptop; what the phone keeps is not lost",
)
BODY_SHAPE = FaultKind(
    code="body-shape",
    what="what was sent cannot be read",
    limit="{wanted}",
    remedy="load the page again and send it once more",
)
TOO_MANY = FaultKind(
    code="too-many-requests",
    what="too many requests in a short time",
    limit="{most} a minute",
    remedy="wait {wait} seconds and try again",
)
PROGRAM = FaultKind(
    code="program-stumbled",
    what="the program met something it should have foreseen: its fault, not yours",
    limit="nothing that was called kept is lost",
    remedy="go back and try again; if it stays, report it with the time {when} and the page",
)
ADDRESS_PLAIN = FaultKind(
    code="office-over-plain-http",
    what="the office does not sign in over an open line",
    limit="over plain http everyone on the network could read the password and the prices",
    remedy="sign in on the laptop itself, or open the https address and trust it first",
)
PASSWORD_NONE = FaultKind(
    code="password-none",
    what="no office password has been set",
    limit="away from the laptop the office signs in by password",
    remedy="set one on the laptop: Phones and links, Office password",
)
PASSWORD_WRONG = FaultKind(
    code="password-wrong",
    what="this is not the office password",
    limit="{most} tries a minute",
    remedy="try again; on the laptop itself it can be set anew",
)
PASSWORD_SHORT = FaultKind(
    code="password-short",
    what="this password is too short or too long",
    limit="{least} to {most} signs; four unlike words are easy to keep in mind and hard to guess",
    remedy="choose a longer one; no special signs are needed",
)
PASSWORD_TWICE = FaultKind(
    code="password-twice",
    what="the two passwords are not the same",
    limit="typed twice so that a slip does not lock you out",
    remedy="type both again",
)
PAIRING_WRONG = FaultKind(
    code="pairing-refused",
    what="this code does not let a phone in",
    limit="a code is good once, for {minutes} minutes, for the first phone that shows it",
    remedy="ask the office for a new code and scan it at once",
)
PAIRING_NAME = FaultKind(
    code="pairing-name",
    what="the phone has no name that can be shown",
    limit="1 to {most} signs",
    remedy="type whose phone it is, such as: Sam",
)
PHONE_UNKNOWN = FaultKind(
    code="phone-unknown",
    what="there is no such phone",
    limit="only phones on the list can be let in or ended",
    remedy="load the list again",
)
LINK_DEAD = FaultKind(
    code="link-dead",
    what="this link does not open anything any more",
    limit="a link is for one document, ends on a date, and can be taken back",
    remedy="ask whoever sent it for a new one",
)
LINK_DAYS = FaultKind(
    code="link-days",
    what="a link cannot last that long",
    limit="{least} to {most} days",
    remedy="choose a number of days in between",
)
LINK_DOCUMENT = FaultKind(
    code="link-document",
    what="there is no such document to send",
    limit="one of: {known}",
    remedy="choose one of them",
)
PICTURE_KIND = FaultKind(
    code="picture-kind",
    what="this is not a picture that can be kept",
    limit="JPEG, PNG or WebP, told by its content and not by its name",
    remedy="take it with the phone's camera set to JPEG ('most compatible')",
)
PICTURE_LARGE = FaultKind(
    code="picture-large",
    what="this picture has too many points",
    limit="{most} million points",
    remedy="make it smaller on the phone and send it again",
)
PICTURE_BROKEN = FaultKind(
    code="picture-broken",
    what="this picture cannot be opened",
    limit="the file ends early or is damaged",
    remedy="take or send the picture once more",
)
PICTURE_QUOTA = FaultKind(
    code="picture-quota",
    what="this job has no room for more pictures",
    limit="{most} MB of pictures a job",
    remedy="remove the job's pictures that nobody needs, or keep them elsewhere",
)
WALK_CRASHED = FaultKind(
    code="walk-crashed",
    what="working this out stopped without an answer",
    limit="the job is as it was; only the working out failed",
    remedy="press 'work it out again'; if it stops again, undo the last change and report it",
)
WALK_SLOW = FaultKind(
    code="walk-slow",
    what="working this out took too long and was stopped",
    limit="{seconds} seconds",
    remedy="press 'work it out again'; a simpler outline or fewer zones help",
)
NO_PAPER = FaultKind(
    code="paper-not-yet",
    what="there is no sheet to print yet",
    limit="sheets are drawn from the last walk that came to an end",
    remedy="wait until the job is worked out, or put right what it says is wrong",
)
CERTIFICATE_FOLDER = FaultKind(
    code="certificate-folder",
    what="the keys for https cannot be kept",
    limit="the folder must be writable: {why}",
    remedy="choose another data folder with --data",
)
PORT_TAKEN = FaultKind(
    code="port-taken",
    what="another program already listens there",
    limit="one program an address and port",
    remedy="end the other program, or choose another port with --port",
)
