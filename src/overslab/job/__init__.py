"""The job: what the owner wrote down, walked through the rooms."""

from overslab.job.asjson import as_json
from overslab.job.folders import copy_job, sample_folder, sample_names, start_job
from overslab.job.reading import read_job, read_texts
from overslab.job.records import FolderTexts, Job, Rooms, Walk
from overslab.job.walking import walk, walk_to
from overslab.job.wishing import wishes_for

__all__ = [
    "FolderTexts",
    "Job",
    "Rooms",
    "Walk",
    "as_json",
    "copy_job",
    "read_job",
    "read_texts",
    "sample_folder",
    "sample_names",
    "start_job",
    "walk",
    "walk_to",
    "wishes_for",
]
