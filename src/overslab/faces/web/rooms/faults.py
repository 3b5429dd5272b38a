"""What can be wrong with what was asked of a page of the rooms."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

SECTION_UNKNOWN = FaultKind(
    code="section-unknown",
    what="there is no such part of the job",
    limit="the parts of a job are listed on its page of facts",
    remedy="go to the page of facts and choose from there",
)
CANNOT_PLACE = FaultKind(
    code="fact-cannot-be-placed",
    what="this cannot be written into the job as it is now",
    limit="{why}",
    remedy="load the page again; what you typed still stands here",
)
NAME_WANTED = FaultKind(
    code="job-name-wanted",
    what="a job needs {what}",
    limit="so that everyone finds it in the list and on the sheets",
    remedy="type it, in your own words",
)
UPLOAD_WANTED = FaultKind(
    code="job-files-wanted",
    what="the files of a job folder are wanted",
    limit="job.toml, shots.csv and rates.toml, as text in UTF-8",
    remedy="choose all three files of the folder",
)
TOP_UNKNOWN = FaultKind(
    code="top-kind-unknown",
    what="there is no such kind of top",
    limit="{known}",
    remedy="choose one of those shown side by side",
)
NOTHING_WRITTEN = FaultKind(
    code="answer-empty",
    what="nothing was written",
    limit="an answer is a few words, so that another person understands it",
    remedy="write what was found or decided",
)
