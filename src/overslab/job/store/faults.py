"""Every fault of the store, in the words of the trade."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

VERSION_UNKNOWN = FaultKind(
    code="version-unknown",
    what="The job has no such version.",
    limit="A version is the number of an entry of its history, from 1 to {most}.",
    remedy="Take one from the history.",
)
JOB_UNKNOWN = FaultKind(
    code="job-unknown",
    what="There is no job with this number here.",
    limit="A job is known once it was begun or its folder was brought in.",
    remedy="Open the list of jobs and choose from there; a phone is paired again from that job.",
)
JOB_TWICE = FaultKind(
    code="job-begun-twice",
    what="A job with this number is here already.",
    limit="A job is begun once.",
    remedy="Open the job that is here.",
)
ENTRY_SHAPE = FaultKind(
    code="entry-shape",
    what="This entry cannot be kept in the job: {why}.",
    limit="What an entry holds is listed on the page of the store (our format).",
    remedy="Look at it in the tray and type it again; a page left open overnight is loaded anew.",
)
ENTRY_TOO_BIG = FaultKind(
    code="entry-too-big",
    what="This entry is bigger than anything a person types.",
    limit="At most {most} bytes (our limit).",
    remedy="Split it; a picture goes up as a photo.",
)
ENTRY_NOT_ALLOWED = FaultKind(
    code="entry-not-allowed",
    what="This phone may not send an entry of the kind {kind}.",
    limit="A phone of the crew sends shots, photos, findings, tickets and notes.",
    remedy="Make this change in the office.",
)
ENTRY_ID_TWICE = FaultKind(
    code="entry-id-twice",
    what="An entry with the same number but other content is here already.",
    limit="Every entry has its own number, made when it is kept; both texts are kept beside.",
    remedy="Compare the two in the tray, and type the right one again if it is not in the job.",
)
ENTRY_OF_OTHERS = FaultKind(
    code="entry-of-others",
    what="This entry would undo what somebody else did.",
    limit="A phone undoes its own entries; the office undoes any.",
    remedy="Strike the shot instead, or ask the office.",
)
ENTRY_WITHOUT_PLACE = FaultKind(
    code="entry-without-place",
    what="This entry does not fit the job as it is now: {why}.",
    limit="An entry changes something that is there, or puts in something new.",
    remedy="Look at the job and make the change again where it belongs.",
)
PHOTO_NOT_THERE = FaultKind(
    code="photo-not-there",
    what="The picture of this entry has not arrived.",
    limit="The picture itself comes first, then the entry that names it.",
    remedy="Send the picture again from the phone that took it.",
)
EDIT_STALE = FaultKind(
    code="edit-stale",
    what="Somebody changed the same thing while you were at it.",
    limit="An edit goes onto what its writer saw; both texts are kept. Theirs: {theirs}",
    remedy="Look at both (yours lies in the tray) and make your change again if it holds.",
)
NOTHING_TO_UNDO = FaultKind(
    code="nothing-to-undo",
    what="There is nothing here to {verb}.",
    limit="What was done from here, one step at a time, back to when the job was begun.",
    remedy="Look at the job's list of entries; the office can undo any one of them.",
)
UNDO_BLOCKED = FaultKind(
    code="undo-blocked",
    what="Something later leans on this entry, so it cannot be undone alone.",
    limit="After an undo every later entry must still have its place.",
    remedy="Undo the later entry first: {later}",
)
SAMPLE_ONLY = FaultKind(
    code="not-a-sample",
    what="This is a real job, and only samples are taken out for good.",
    limit="A real job is put away and can be brought back.",
    remedy="Put the job away instead.",
)
PHOTO_KIND = FaultKind(
    code="photo-kind",
    what="This is not a picture that can be kept.",
    limit="JPEG, PNG, WebP or HEIC, told by the content and not by the name (our limit).",
    remedy="Save it as JPEG; move other files out of the folder photos.",
)
PHOTO_TOO_BIG = FaultKind(
    code="photo-too-big",
    what="This picture is too big.",
    limit="At most {most} bytes (our limit).",
    remedy="Take it again at a lower setting.",
)
PHOTO_UNKNOWN = FaultKind(
    code="photo-unknown",
    what="There is no such picture here.",
    limit="A picture is known by the 64 digits of its fingerprint.",
    remedy="Open it from the job; if it is gone from the disk, bring it back from a backup.",
)
STORE_ADDRESS = FaultKind(
    code="store-address",
    what="The address of the database cannot be understood.",
    limit="sqlite:////folder/overslab.db or postgresql+psycopg://name@machine/database.",
    remedy="Correct the address.",
)
STORE_DRIVER = FaultKind(
    code="store-driver",
    what="The part that talks to a PostgreSQL server is not installed.",
    limit="A PostgreSQL address needs the extra named postgres.",
    remedy="Install it with: pip install 'overslab[postgres]'",
)
STORE_SYNCED = FaultKind(
    code="store-in-synced-folder",
    what="The jobs must not lie here: {why}.",
    limit="A folder of this machine that no other program copies or changes (the database's rule).",
    remedy="Choose a folder on this machine's own disk. For a second place, copy backups there.",
)
STORE_OPEN = FaultKind(
    code="store-already-open",
    what="Another overslab on this machine has these jobs open.",
    limit="One at a time keeps entries; others may only look.",
    remedy="Use the one that runs, or stop it first.",
)
STORE_MISSING = FaultKind(
    code="store-missing",
    what="The database is not there, though backups of it are.",
    limit="Nothing is begun anew in silence while there is something to bring back.",
    remedy="Bring back the newest good backup ({backup}), or move the folder backups away.",
)
STORE_DAMAGED = FaultKind(
    code="store-damaged",
    what="The database is damaged: {why}.",
    limit="Its own check must find nothing.",
    remedy="Keep the file, and bring back the newest good backup: {backup}",
)
STORE_NEWER = FaultKind(
    code="store-newer",
    what="These jobs were kept by a newer overslab.",
    limit="This overslab knows the layout {known}; the database has {has}.",
    remedy="Install the newer overslab; an older backup can be brought back by this one.",
)
STORE_FOREIGN = FaultKind(
    code="store-of-others",
    what="This database holds tables of another program.",
    limit="The jobs have a database of their own.",
    remedy="Name another database, an empty one.",
)
STORE_READ_ONLY = FaultKind(
    code="store-read-only",
    what="Nothing can be kept now: {why}",
    limit="The database was opened for looking only.",
    remedy="Do as said there, then start again. What you typed is still with you.",
)
DISK_FULL = FaultKind(
    code="disk-full",
    what="The disk is full. Nothing of this was kept.",
    limit="What is answered as kept lies on the disk.",
    remedy="Make room on the disk and press again. What was kept before can still be looked at.",
)
NOT_WRITABLE = FaultKind(
    code="store-not-writable",
    what="The disk did not take it ({why}). Nothing of this was kept.",
    limit="What is answered as kept lies on the disk.",
    remedy="Press again; if it stays so, make a backup elsewhere and have the disk looked at.",
)
STORE_BUSY = FaultKind(
    code="store-busy",
    what="The database was busy for too long. Nothing of this was kept.",
    limit="An entry waits at most 10 seconds.",
    remedy="Press again.",
)
STORE_UNREACHABLE = FaultKind(
    code="store-unreachable",
    what="The database server does not answer ({why}).",
    limit="The server at the address given must run and let this program in.",
    remedy="Look whether it runs and whether name, password and address are right.",
)
BACKUP_BAD = FaultKind(
    code="backup-bad",
    what="This is no good backup: {why}.",
    limit="A backup is one file that passes the database's own check.",
    remedy="Choose another one.",
)
RESTORE_HALF = FaultKind(
    code="restore-unfinished",
    what="Bringing back a backup was begun here and not finished.",
    limit="Half of one database and half of another are never opened.",
    remedy="Bring the same backup back again: {backup}",
)
HISTORY_BROKEN = FaultKind(
    code="history-broken",
    what="The history in this folder cannot be read: {why}.",
    limit="history.jsonl is written by the program and not by hand.",
    remedy="Put the file back as it was, or take it away: the job begins from its three files.",
)
