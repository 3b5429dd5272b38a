"""What can be wrong with a field book."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

# The heights err together, so their covariance is a full square: 6,000 points fill 288 MB.
MOST_POINTS = 6_000
MOST_SETUPS = 500
# Two places closer than this are one place: no tape on a floor is read finer.
SAME_PLACE_M = 0.001
LONGEST_ROD_M = 100.0
FARTHEST_M = 10_000.0
FINEST_STEP_M, COARSEST_M = 1e-5, 1.0
STEEPEST_BEAM = 0.01

CONVENTION = FaultKind(
    code="shots-convention",
    what="It is not said how the rod is read.",
    limit="feet-inches, tenths or metric, one for the whole survey",
    remedy="Name the convention in the survey section of the job.",
)
NO_READINGS = FaultKind(
    code="shots-none",
    what="The field book holds no readings.",
    limit="a survey needs a reading on a benchmark and readings on the floor",
    remedy="Shoot the benchmark and the floor and write the readings into shots.csv.",
)
READING_NOT_FINITE = FaultKind(
    code="shots-reading-not-a-number",
    what="The reading on point {point} is no length that a rod can show.",
    limit="a finite length, at most 100 m",
    remedy="Look in the book, or shoot the point again.",
)
NO_NAME = FaultKind(
    code="shots-no-name",
    what="A reading has no {missing}.",
    limit="every reading names its point and its set-up",
    remedy="Write the {missing} beside the reading.",
)
KIND_UNKNOWN = FaultKind(
    code="shots-kind-unknown",
    what="The reading on point {point} is of an unknown kind.",
    limit="benchmark, floor, sill, step, drive, check, turn or asbuilt",
    remedy="Write one of these kinds.",
)
NO_BENCHMARK = FaultKind(
    code="shots-no-benchmark",
    what="No benchmark is given.",
    limit="heights are counted from one benchmark at least",
    remedy="Name a point that will outlast the pour and give its height, such as 100 ft.",
)
BENCHMARK_TWICE = FaultKind(
    code="shots-benchmark-twice",
    what="Benchmark {point} is named twice.",
    limit="one name, one height",
    remedy="Strike one of the two, or give the second its own name.",
)
BENCHMARK_NOT_FINITE = FaultKind(
    code="shots-benchmark-height",
    what="The height of benchmark {point} is not a number.",
    limit="a finite length, at most 10 km above or below the datum",
    remedy="Give the benchmark a height.",
)
BENCHMARK_NOT_READ = FaultKind(
    code="shots-benchmark-not-read",
    what="No benchmark was read from any set-up.",
    limit="at least one reading on one of: {names}",
    remedy="Shoot the benchmark, or spell its name in shots.csv as it is spelled in the job.",
)
BENCHMARK_UNKNOWN = FaultKind(
    code="shots-benchmark-unknown",
    what="Point {point} is shot as a benchmark but no height is given for it.",
    limit="benchmarks with a height: {names}",
    remedy="Give its height in the job, or shoot it as a turn or a check.",
)
SETUP_NOT_TIED = FaultKind(
    code="shots-setup-not-tied",
    what="Set-up {setup} shares no point with the benchmark or with a set-up that is tied to it.",
    limit="each set-up shoots a benchmark or a point that a tied set-up has shot too",
    remedy="From set-up {setup} shoot the benchmark or a point already shot; two are better.",
)
NO_PLACE = FaultKind(
    code="shots-no-place",
    what="Point {point} is a {kind} shot without a place on the plan.",
    limit="floor, sill, step, drive and asbuilt shots need x and y or a grid label",
    remedy="Tape the point and write its x and y or its grid label.",
)
TWO_PLACES = FaultKind(
    code="shots-two-places",
    what="Point {point} stands at two places.",
    limit="first given at {first}; one name is one place",
    remedy="Put the place right, or give the second point its own name.",
)
PLACE_NOT_FINITE = FaultKind(
    code="shots-place-not-a-number",
    what="The place of {point} is not a number.",
    limit="x and y are finite lengths of at most 10 km, both given or both left out",
    remedy="Tape the point again and write both x and y.",
)
TWO_KINDS = FaultKind(
    code="shots-two-kinds",
    what="Point {point} is shot as {first} and as {second}.",
    limit="one name is one kind of point; check and turn may be added to any",
    remedy="Give the second its own name, or put the kind right.",
)
NO_FLOOR = FaultKind(
    code="shots-no-floor",
    what="No reading is of the floor.",
    limit="at least one shot of kind floor",
    remedy="Shoot the old floor; a small garage wants a shot every 4 to 6 ft (common practice).",
)
ROD = FaultKind(
    code="shots-rod",
    what="The {what} cannot be used.",
    limit="{allowed}",
    remedy="Put the value right in the survey section of the job.",
)
STAND_TWICE = FaultKind(
    code="shots-stand-twice",
    what="The place of the laser in set-up {setup} is given twice.",
    limit="one set-up is one place of the laser",
    remedy="Strike one, or give the second stand its own set-up.",
)
TWO_STAND_DISTANCES = FaultKind(
    code="shots-two-stand-distances",
    what="The two-stand check cannot show a tilt.",
    limit="four readings and two distances that differ, none below zero",
    remedy="Set up the second time close to one of the two marks and measure both sights.",
)
TOO_MANY = FaultKind(
    code="shots-too-many",
    what="The field book holds more {what} than one survey can carry.",
    limit="{most} {what}",
    remedy="Split the survey by floor, or thin the shots.",
)
