"""A job folder read: three files, checked together, made into one record in SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from overslab.ground import units
from overslab.ground.estimate import Estimate
from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption
from overslab.ground.units import System, Units
from overslab.job import faults
from overslab.job.checking import Checked
from overslab.job.files import plain_text, read_text
from overslab.job.floorplan import Plotter, Point
from overslab.job.foundfacts import found_in, practice_in
from overslab.job.jobfile import JobFile, SurveyFacts
from overslab.job.layingfacts import build_in
from overslab.job.mixfacts import mix_in
from overslab.job.pricefacts import rates_in
from overslab.job.proposalfacts import proposal_in
from overslab.job.ratesfile import RatesFile
from overslab.job.records import FolderTexts, Job
from overslab.job.shotsfile import read_shots
from overslab.job.touches import Touches
from overslab.job.touchfacts import touches_asked
from overslab.job.typed import Money, Speech, told
from overslab.job.wishing import asked_of
from overslab.oldslab import FloorPlan, cut_panels
from overslab.order.records import Plant
from overslab.price.records import Rates
from overslab.shots.records import Benchmark, Reading, Stand, Survey, TwoStandCheck

JOB_FILE, SHOTS_FILE, RATES_FILE = "job.toml", "shots.csv", "rates.toml"

# What is taken when a file does not say; each becomes an assumption on the sheets.
MARKS: dict[System, str] = {"feet-inches": "1/16 in", "tenths": "0.01 ft", "metric": "1 mm"}
ROD_ERROR = "1/16 in"  # common practice
LASER = ("1/16 in", "100 ft")  # what makers of rotating lasers print
LOSS, LOSS_GIVE_OR_TAKE = 0.04, 0.02  # common practice for a slab placed from the chute


# Gives a file of the job by its name, as text with lines parted by "\n"; raises Faulty.
Open = Callable[[str], str]


def read_job(folder: Path) -> Job:
    """The job in a folder.

    Raises ``Faulty`` with every fault of ``job.toml``, ``rates.toml`` and ``shots.csv`` that can be
    found without the others being right. Writes nothing.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise Faulty(faults.FOLDER_MISSING.met(value=folder, place=folder.name))
    return _read(lambda file: read_text(folder / file), folder=folder)


def read_texts(texts: FolderTexts) -> Job:
    """The job that these three texts would be in a folder; the same faults in the same words."""
    by_file = {
        JOB_FILE: texts.job_toml,
        SHOTS_FILE: texts.shots_csv,
        RATES_FILE: texts.rates_toml,
    }
    return _read(lambda file: plain_text(by_file[file], file=file), folder=None)


def _read(open_: Open, *, folder: Path | None) -> Job:
    found: list[Fault] = []
    source, facts = _job_file(open_, found)
    rates, priced = _rates_file(open_, facts, found)
    spoken = _units(facts, source=source, found=found) if facts and source else None
    plotter = Plotter(facts, source=source, spoken=spoken) if facts and source and spoken else None
    readings = _shots_file(open_, facts, plotter, found)
    if facts is None or source is None or plotter is None:
        raise Faulty(found)
    assumed: list[Assumption] = []
    survey = _survey(facts.survey, readings=readings, plotter=plotter, assumed=assumed)
    names = frozenset(reading.point for reading in readings or ())
    touches = Touches(plotter, shot_names=names if readings is not None else _AnyName())
    outlets = touches.asked_outlets()
    for pair in (("least_fall", "greatest_fall"), ("least_thickness", "greatest_thickness")):
        touches.in_order(facts.wishes, *pair, "wishes")
    plan = plotter.plan(openings=tuple(touches.openings), drains=tuple(touches.drains_today))
    upset = touches_asked(touches, plan=plan)
    practice = practice_in(plotter)
    findings = found_in(plotter, plan=plan)
    mix = mix_in(plotter)
    build = build_in(plotter)
    plant = _plant(rates, assumed=assumed) if rates else None
    asked = None
    if plant is not None:
        asked, more = asked_of(
            facts,
            touches=touches,
            outlets=outlets,
            plant=plant,
            practice=practice,
            spoken=plotter.units,
        )
        assumed += more
    if facts.job.pour_date is not None and facts.job.pour_date < facts.job.date:
        place = source.place("job", "pour_date")
        found.append(
            faults.POUR_EARLY.met(value=facts.job.pour_date, place=place, survey=facts.job.date)
        )
    promised = proposal_in(facts.proposal, rates, source=source, found=found)
    found += faults.capped(plotter.found, file=source.file)
    if found or plant is None or asked is None:
        raise Faulty(found)
    return Job(
        name=facts.job.name,
        place=facts.job.place,
        date=facts.job.date,
        made_up=facts.job.made_up,
        units=plotter.units,
        survey=replace(survey, apart=_apart(plan)),
        plan=plan,
        asked=asked,
        plant=plant,
        mix=mix,
        folder=folder,
        assumptions=tuple(assumed),
        touches=upset,
        findings=findings,
        practice=practice,
        rates=priced,
        build=build,
        pour_date=facts.job.pour_date,
        proposal=promised,
    )


def _apart(plan: FloorPlan) -> tuple[tuple[Point, ...], ...]:
    """Rings whose shots are no neighbours of others: pits first, for they lie within a panel."""
    pieces = sorted(cut_panels(plan), key=lambda piece: piece.kind == "panel")
    return tuple(tuple((x, y) for x, y, *_ in piece.polygon.exterior.coords) for piece in pieces)


class _AnyName(frozenset[str]):
    """Stands for the names of shots while shots.csv cannot be read: blames no name."""

    def __contains__(self, _: object) -> bool:
        return True


def _job_file(open_: Open, found: list[Fault]) -> tuple[Checked | None, JobFile | None]:
    try:
        source = Checked(open_(JOB_FILE), file=JOB_FILE)
    except Faulty as trouble:
        found.extend(trouble.faults)
        return None, None
    speech = Speech(system=source.system_at("job", "units"), rod=source.system_at("survey", "rod"))
    try:
        return source, source.validate(JobFile, speech=speech)
    except Faulty as trouble:
        found.extend(trouble.faults)
        return source, None


def _rates_file(
    open_: Open, facts: JobFile | None, found: list[Fault]
) -> tuple[RatesFile | None, Rates | None]:
    system = facts.job.units if facts else "feet-inches"
    try:
        source = Checked(open_(RATES_FILE), file=RATES_FILE)
        rates = source.validate(RatesFile, speech=Speech(system=system, rod=system))
    except Faulty as trouble:
        found.extend(trouble.faults)
        return None, None
    before = len(found)
    for table, keys in (
        ("concrete", ("price_per_yd3", "price_per_m3")),
        ("risk", ("leftover_per_yd3", "leftover_per_m3")),
    ):
        section = getattr(rates, table)
        given = [key for key in keys if getattr(section, key) is not None]
        if len(given) != 1:
            found.append(
                faults.GIVE_ONE.met(
                    value=", ".join(given) or "nothing",
                    place=source.place(table, *given[:1]),
                    given="Both" if given else "None",
                    keys=" and ".join(keys),
                )
            )
    for key in ("full_load", "order_step"):
        typed = getattr(rates.truck, key)
        if typed.value <= 0:
            found.append(
                faults.LENGTH_SIGN.met(
                    value=typed.text,
                    place=source.place("truck", key),
                    key=key,
                    wanted="more than nothing",
                    meaning="A truck and a step of an order hold some concrete.",
                )
            )
    made_up = facts is not None and facts.job.made_up
    priced = rates_in(rates, source=source, system=system, made_up=made_up, found=found)
    return (rates, priced) if len(found) == before else (None, None)


def _shots_file(
    open_: Open, facts: JobFile | None, plotter: Plotter | None, found: list[Fault]
) -> tuple[Reading, ...] | None:
    try:
        text = open_(SHOTS_FILE)
        if facts is None or plotter is None:
            return None  # without the job's units and rod no cell can be judged
        return read_shots(
            text,
            file=SHOTS_FILE,
            system=facts.job.units,
            rod=facts.survey.rod,
            find=plotter.tape.find if plotter.tape else None,
        )
    except Faulty as trouble:
        found.extend(trouble.faults)
        return None


def units_of(facts: JobFile, *, source: Checked) -> Units:
    """How this job writes; ``Faulty`` when its finest mark fits no rule of its units."""
    system, mark = facts.job.units, facts.job.mark
    mark_m = mark.value if mark else units.read_length_m(MARKS[system], system=system)
    try:
        return Units(system=system, mark_m=mark_m)
    except Faulty as trouble:
        place = source.place("job", "mark")
        raise Faulty(told(fault, place=place) for fault in trouble.faults) from None


def _units(facts: JobFile, *, source: Checked, found: list[Fault]) -> Units | None:
    try:
        return units_of(facts, source=source)
    except Faulty as trouble:
        found.extend(trouble.faults)
        return None


def _survey(
    facts: SurveyFacts,
    *,
    readings: tuple[Reading, ...] | None,
    plotter: Plotter,
    assumed: list[Assumption],
) -> Survey:
    setups = sorted({reading.setup for reading in readings or ()})
    stands = []
    for n, stand in enumerate(facts.stands):
        at = plotter.spot(stand.at, "survey", "stand", n, "at")
        if readings is not None and stand.setup not in setups:
            plotter.found.append(
                faults.SETUP_UNKNOWN.met(
                    value=stand.setup,
                    place=plotter.source.place("survey", "stand", n, "setup"),
                    setup=stand.setup,
                    known=", ".join(setups) or "none",
                )
            )
        if at is not None:
            stands.append(Stand(setup=stand.setup, x_m=at[0], y_m=at[1]))
    names = [benchmark.name for benchmark in facts.benchmarks]
    for n, name in enumerate(names):
        if name in names[:n]:
            place = plotter.source.place("survey", "benchmark", n, "name")
            plotter.found.append(faults.NAME_TWICE.met(value=name, place=place, name=name))
    rod_error_m = units.read_length_m(ROD_ERROR, system=facts.rod)
    off_m, far_m = (units.read_length_m(text, system=facts.rod) for text in LASER)
    if facts.rod_error is None:
        assumed.append(
            Assumption(
                about="rod_error in [survey]",
                taken=plotter.write(rod_error_m),
                because="not given in job.toml; common practice",
            )
        )
    if facts.laser is None:
        assumed.append(
            Assumption(
                about="laser in [survey]",
                taken=f"{plotter.write(off_m)} per {plotter.write(far_m)}",
                because="not given in job.toml; what makers of rotating lasers print",
            )
        )
    check = facts.two_stand_check
    return Survey(
        readings=readings or (),
        benchmarks=tuple(
            Benchmark(name=one.name, height_m=one.height.value, where=one.where)
            for one in facts.benchmarks
        ),
        convention=facts.rod,
        resolution_m=facts.resolution.value,
        rod_deviation_m=facts.rod_error.value if facts.rod_error else rod_error_m,
        laser_slope=facts.laser.value if facts.laser else off_m / far_m,
        stands=tuple(stands),
        two_stand=TwoStandCheck(
            middle_a_m=check.middle_a.value,
            middle_b_m=check.middle_b.value,
            near_a_m=check.near_a.value,
            near_b_m=check.near_b.value,
            distance_to_a_m=check.distance_to_a.value,
            distance_to_b_m=check.distance_to_b.value,
        )
        if check
        else None,
        allowed_per_setup_m=facts.allowed_per_setup.value if facts.allowed_per_setup else None,
        allowed_beam_slope=facts.allowed_beam.value if facts.allowed_beam else None,
    )


def _plant(rates: RatesFile, *, assumed: list[Assumption]) -> Plant:
    loss, give_or_take = LOSS, LOSS_GIVE_OR_TAKE
    if rates.losses is None:
        assumed.append(
            Assumption(
                about="[losses] in rates.toml",
                taken="4 %, give or take 2 %",
                because="not given; common practice for a slab placed from the chute",
            )
        )
    else:
        loss, give_or_take = rates.losses.usual.value, rates.losses.give_or_take.value
    concrete, risk = rates.concrete, rates.risk
    return Plant(
        concrete_cost_per_m3=_per_m3(concrete.price_per_yd3, concrete.price_per_m3),
        currency=rates.currency,
        truck_m3=rates.truck.full_load.value,
        least_load_m3=rates.truck.least_load.value,
        short_load_charge=rates.truck.short_load_charge.value,
        order_step_m3=rates.truck.order_step.value,
        short_cost=risk.running_short.value,
        leftover_cost_per_m3=_per_m3(risk.leftover_per_yd3, risk.leftover_per_m3),
        loss=Estimate(mean=loss, deviation=give_or_take),
        price_date=rates.price_date,
        truck_minutes=float(rates.truck.minutes_between),
    )


def _per_m3(per_yd3: Money | None, per_m3: Money | None) -> float:
    """A price by the cubic metre; exactly one of the two is given, as checked before."""
    if per_m3 is not None:
        return per_m3.value
    yard_m3 = units.read_volume_m3("1 yd3", system="feet-inches")
    return per_yd3.value / yard_m3 if per_yd3 is not None else 0.0
