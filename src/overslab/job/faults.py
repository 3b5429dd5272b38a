"""Every fault of the job folder, in the words of the trade."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.faults import Fault, FaultKind, Faulty

FOLDER_MISSING = FaultKind(
    code="job-folder-missing",
    what="There is no job folder at this place.",
    limit="A job is one folder that holds job.toml, shots.csv and rates.toml (our format).",
    remedy="Check the path, or begin a new job with: overslab new FOLDER",
)
FILE_MISSING = FaultKind(
    code="job-file-missing",
    what="The job folder holds no {file}.",
    limit="A job folder holds job.toml, shots.csv and rates.toml (our format).",
    remedy="Put {file} into the folder; overslab new OTHER-FOLDER writes one to start from.",
)
FILE_UNREADABLE = FaultKind(
    code="job-file-unreadable",
    what="{file} cannot be opened.",
    limit="The file must be a plain file that you may read.",
    remedy="Close other programs that hold it, check its rights, then try again.",
)
FILE_TOO_BIG = FaultKind(
    code="job-file-too-big",
    what="{file} is far bigger than a job can be.",
    limit="At most {most} bytes (our limit: years of shooting fit into it).",
    remedy="Check that this is the right file; a scan or a picture does not belong here.",
)
FILE_EMPTY = FaultKind(
    code="job-file-empty",
    what="{file} is empty.",
    limit="The file must hold at least one line that is not a comment.",
    remedy="Fill it in; overslab new OTHER-FOLDER writes one to start from.",
)
FILE_NOT_TEXT = FaultKind(
    code="job-file-not-text",
    what="{file} is not plain text: it holds characters that no text has.",
    limit="Plain text only, no control characters (our format).",
    remedy="Save it again as plain text; a spreadsheet saves shots as CSV.",
)
FILE_ENCODING = FaultKind(
    code="job-file-encoding",
    what="{file} is not saved as UTF-8 text{guess}.",
    limit="UTF-8 text (our format).",
    remedy='Save it again and choose the encoding "UTF-8" (spreadsheets: "CSV UTF-8").',
)
TOML_BROKEN = FaultKind(
    code="toml-broken",
    what="This line breaks the TOML rules: {why}.",
    limit="TOML 1.0 (toml.io): key = value, text in quotes, every bracket and quote closed.",
    remedy='Look at this line and the one above; inside "..." write inches as in, not ".',
)
KEY_MISSING = FaultKind(
    code="key-missing",
    what="{key} is not filled in.",
    limit="Needed: {meaning}",
    remedy="{how}",
)
KEY_UNKNOWN = FaultKind(
    code="key-unknown",
    what="There is no key of the name {key} here.",
    limit="Known here: {known}.",
    remedy="{hint}",
)
KEY_WRONG = FaultKind(
    code="key-wrong",
    what="{key} holds something it cannot hold: {why}.",
    limit="{meaning}",
    remedy="Correct the value of {key}.",
)
LENGTH_UNIT = FaultKind(
    code="length-without-unit",
    what="A length stands without its unit.",
    limit='A length in this file is text with its unit, such as "24 ft" or "7.3 m" (our format).',
    remedy="Write the unit behind the number.",
)
LENGTH_SIGN = FaultKind(
    code="length-sign",
    what="{key} must be {wanted}.",
    limit="{meaning}",
    remedy="Correct the value of {key}.",
)
HEIGHT_WORDS = FaultKind(
    code="height-words",
    what="This height cannot be understood.",
    limit=(
        'A height is "shot NAME", "shot NAME + 1/4 in", "shots NAME, NAME" for their mean, '
        'or a length above datum such as "100 ft 2 in" (our format).'
    ),
    remedy="Write it in one of these ways.",
)
SHOT_UNKNOWN = FaultKind(
    code="shot-unknown",
    what="No shot of the name {shot} is in shots.csv.",
    limit="A height that leans on a shot needs that shot in the column point of shots.csv.",
    remedy="Correct the name, or shoot the point and add the line.",
)
GIVE_ONE = FaultKind(
    code="give-one-of",
    what="{given} of {keys} are filled in.",
    limit="Exactly one of them says it: {keys}.",
    remedy="Fill in exactly one of them.",
)
NAME_TWICE = FaultKind(
    code="name-twice",
    what="The name {name} is given to two things.",
    limit="Every door, stair, threshold, line, drain, zone, break, hole and pit has its own name.",
    remedy="Give one of them another name.",
)
DOOR_UNKNOWN = FaultKind(
    code="outside-door-unknown",
    what="{name} is said to lie before {door}, and there is no door or threshold of that name.",
    limit="Doors and thresholds here: {known}.",
    remedy="Correct the name of the door.",
)
OUTLET_MISSING = FaultKind(
    code="outlet-missing",
    what="Nothing says where the water shall go.",
    limit="water_to names at least one door, open edge, line or drain that is kept or raised.",
    remedy='Write water_to = ["..."] in [wishes] with the name of a door, drain or open edge.',
)
OUTLET_UNKNOWN = FaultKind(
    code="outlet-unknown",
    what="water_to names {name}, which takes no water on this floor.",
    limit="Known here: {known}.",
    remedy="{hint}",
)
UPSIDE_DOWN = FaultKind(
    code="least-over-greatest",
    what="{low} is more than {high}.",
    limit="{low} is at most {high}.",
    remedy="Swap the two, or correct the one that is wrong.",
)
EDGE_UNKNOWN = FaultKind(
    code="edge-unknown",
    what="The outline has no edge {edge}.",
    limit="Edge 1 runs from corner 1 to corner 2; this outline has edges 1 to {edges}.",
    remedy="Count the corners again and correct the number.",
)
OFF_OUTLINE = FaultKind(
    code="door-off-outline",
    what="{name} does not lie on the outline of the floor: it is {distance} off.",
    limit="Both ends lie on the outline within {reach}.",
    remedy="Correct the ends of {name} or the corners of the outline.",
)
TOUCH_OUTSIDE = FaultKind(
    code="touch-outside",
    what="{name} lies outside the floor.",
    limit="Lines, stairs, drains and zones lie on the floor or on its outline.",
    remedy="Correct the place of {name} or the corners of the outline.",
)
TOO_SHORT = FaultKind(
    code="line-too-short",
    what="{name} has two ends at the same place.",
    limit="A door, stair, threshold, line or trench is longer than {least}.",
    remedy="Correct the ends of {name}.",
)
GRID_LABEL = FaultKind(
    code="grid-label",
    what="The grid label {label} cannot be found on the taped grid.",
    limit="{limit}",
    remedy="Correct the label, or give x and y instead.",
)
GRID_MISSING = FaultKind(
    code="taped-grid-missing",
    what="The grid label {label} is used, but job.toml tells of no taped grid.",
    limit="[taped_grid] says where A1 lies and how far apart the lines are.",
    remedy="Add [taped_grid] to job.toml, or give x and y instead of the label.",
)
COLUMN_MISSING = FaultKind(
    code="fieldbook-column-missing",
    what="The first line of shots.csv does not name the column {column}.",
    limit="Columns: point, x, y, setup, reading, kind, note; also grid (our format).",
    remedy="Add {column} to the first line, or correct its name; columns are parted by commas.",
)
COLUMN_UNKNOWN = FaultKind(
    code="fieldbook-column-unknown",
    what="shots.csv has a column {column} that is not known.",
    limit="Columns: point, x, y, setup, reading, kind, note; also grid (our format).",
    remedy="Rename the column or take it out; remarks go into note.",
)
COLUMN_TWICE = FaultKind(
    code="fieldbook-column-twice",
    what="shots.csv names the column {column} twice.",
    limit="Every column once (our format).",
    remedy="Take one of them out.",
)
ROW_CELLS = FaultKind(
    code="fieldbook-row-cells",
    what="This line has {cells} cells, and the first line names {columns} columns.",
    limit="As many cells as columns (our format).",
    remedy="Look for a comma too many or too few; a note with a comma stands in quotes.",
)
ROW_QUOTE = FaultKind(
    code="fieldbook-row-quote",
    what="A quote is opened in this line and never closed.",
    limit="A cell that begins with a quote ends with one on the same line (RFC 4180).",
    remedy="Close the quote, or take it out; keep each note on one line.",
)
CELL_EMPTY = FaultKind(
    code="fieldbook-cell-empty",
    what="The cell {column} is empty.",
    limit="point, setup, reading and kind are filled in on every line (our format).",
    remedy="Fill it in from the field book, or take the line out.",
)
CELL_LONG = FaultKind(
    code="fieldbook-cell-long",
    what="The cell {column} is far too long.",
    limit="At most {most} characters.",
    remedy="Shorten it; check that nothing was pasted by mistake.",
)
KIND_UNKNOWN = FaultKind(
    code="fieldbook-kind-unknown",
    what="The kind {kind} is not known.",
    limit="{known} (our format).",
    remedy="Write one of these kinds.",
)
PLACE_HALF = FaultKind(
    code="fieldbook-place-missing",
    what="The place of this shot is not given.",
    limit="Floor, sill, step, drive and asbuilt shots have x and y, or a grid label.",
    remedy="Fill in x and y, or the label of the taped grid.",
)
PLACE_TWICE = FaultKind(
    code="fieldbook-place-twice",
    what="This line gives both x and y and a grid label.",
    limit="A place is given once: x and y, or a grid label.",
    remedy="Take one of them out.",
)
POINT_MOVED = FaultKind(
    code="fieldbook-point-moved",
    what="The point {point} was at another place on line {line}.",
    limit="One name is one place: {first}.",
    remedy="Correct the place, or give one of the two points another name.",
)
SHOTS_NONE = FaultKind(
    code="fieldbook-none",
    what="shots.csv holds no readings.",
    limit="At least one benchmark and the shots of the floor.",
    remedy="Copy the field book into shots.csv, one reading a line.",
)
SHOTS_TOO_MANY = FaultKind(
    code="fieldbook-too-many",
    what="shots.csv holds more readings than one floor can need.",
    limit="At most {most} readings (our limit).",
    remedy="Check that this is a field book and not a scan; thin it to a grid of a few feet.",
)
SHOTS_AT_ONE_PLACE = FaultKind(
    code="fieldbook-at-one-place",
    what="{count} readings stand at the one place {point}.",
    limit="At most {most} at one place (our limit).",
    remedy="Check x and y of these lines; keep the repeats that were really shot.",
)
SETUP_UNKNOWN = FaultKind(
    code="setup-unknown",
    what="The stand names the set-up {setup}, from which nothing was read.",
    limit="Set-ups in shots.csv: {known}.",
    remedy="Correct the name, or take the stand out.",
)
POUR_EARLY = FaultKind(
    code="pour-before-survey",
    what="The pour date lies before the survey of the old floor.",
    limit="The survey was on {survey}; the new top is worked out from it.",
    remedy="Correct pour_date or date in [job], or take pour_date out until it is set.",
)
VALID_EARLY = FaultKind(
    code="proposal-ends-early",
    what="The price of the proposal ends before the day of the proposal.",
    limit="The proposal is of {day}; its price holds from then on.",
    remedy="Correct date or valid_until in [proposal].",
)
LAP_TOO_WIDE = FaultKind(
    code="laying-lap",
    what="The lap in [{section}] is as wide as what is lapped, or wider.",
    limit="A lap is less than {than}, the narrowest way.",
    remedy="Correct the lap, or the size.",
)
NOTHING_TO_HOLD = FaultKind(
    code="laying-nothing-to-hold",
    what="[steel.supports] is filled in, and no steel is: there is nothing to hold up.",
    limit="Supports stand under wire or bars.",
    remedy="Add [steel.wire] or [steel.bars], or take [steel.supports] out.",
)
STEEL_BOTH_WAYS = FaultKind(
    code="laying-steel-said-no",
    what="[mix] says that no steel lies in the new slab, and [steel] asks for some.",
    limit="The mix is held against the steel that will lie in it: both say the same.",
    remedy='Write steel = "yes" in [mix], or take [{section}] out.',
)
PRICE_SHAPE = FaultKind(
    code="price-not-money",
    what="{key} is not an amount of money of zero or more.",
    limit="{meaning}",
    remedy='Write the amount in quotes, such as "$165" or "165.00".',
)
RATE_TWICE = FaultKind(
    code="rate-twice",
    what="There are two rates [[{table}]] with the code {code}.",
    limit="A code has one rate of its kind, or nobody knows which one holds (our format).",
    remedy="Take one of them out, or give it another code.",
)
RATES_TABLE = FaultKind(
    code="rates-table-head",
    what="This is not a table of rates.",
    limit="A CSV file whose first line is: {columns} (our format).",
    remedy="Write the table with: overslab rates JOB --out FILE, change it, and take it back.",
)
RATES_ROW = FaultKind(
    code="rates-table-row",
    what="This row of the table of rates cannot be taken: {why}.",
    limit="Every row is as overslab rates JOB --out FILE writes it (our format).",
    remedy="Correct this row; nothing was changed.",
)
WOULD_OVERWRITE = FaultKind(
    code="would-overwrite",
    what="Files of that name are already there; nothing was written.",
    limit="Nothing that is there is ever written over.",
    remedy="Choose another folder, or move these files away first.",
)
CANNOT_WRITE = FaultKind(
    code="cannot-write",
    what="The job could not be written here: {why}.",
    limit="The folder must be one you may write into.",
    remedy="Choose another folder, or check its rights and the room on the disk.",
)
SAMPLE_UNKNOWN = FaultKind(
    code="sample-unknown",
    what="There is no sample job of this name.",
    limit="Sample jobs: {known}.",
    remedy="Choose one of these.",
)
MORE = FaultKind(
    code="more-faults",
    what="{file} has {count} more faults that are not listed.",
    limit="At most {most} faults of a file are listed.",
    remedy="Put the listed ones right and try again.",
)

MOST_LISTED = 50  # faults of one file that are told at once


def capped(faults: Sequence[Fault], *, file: str) -> tuple[Fault, ...]:
    """The first faults of a file, and one that counts the rest."""
    if len(faults) <= MOST_LISTED:
        return tuple(faults)
    rest = len(faults) - MOST_LISTED
    more = MORE.met(
        value=f"{len(faults)} faults", place=file, file=file, count=rest, most=MOST_LISTED
    )
    return (*faults[:MOST_LISTED], more)


def raise_if(faults: Sequence[Fault]) -> None:
    """Raise ``Faulty`` when there is anything to tell."""
    if faults:
        raise Faulty(faults)
