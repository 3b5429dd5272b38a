"""The parts of a proposal that tell of later: what is normal, when it is used, who signs."""

from __future__ import annotations

from overslab.faces.documents.blocks import Bullets, Column, Facts, Heading, Para, Table
from overslab.faces.documents.proposal_parts import Part, PartBlock, own_words
from overslab.faces.documents.words import STRUCTURE
from overslab.ground.units import write_area, write_by_suffix, write_thickness
from overslab.job.records import Walk
from overslab.newtop.records import TopOption
from overslab.price import UseAfter, UseDate, use_after

_MILD_C = 21.0  # the 70 F for which the guides give their days
_LAW = (
    ("deposit", "Deposit"),
    ("cancellation", "Right to cancel"),
    ("licence", "Licence"),
    ("insurance", "Insurance"),
    ("warranty", "Warranty"),
    ("other", "Further terms"),
)


def normal(walk: Walk, top: TopOption) -> Part:
    """Which cracks and puddles are normal: the owner's words, then what was worked out."""
    texts = walk.job.proposal
    blocks: list[PartBlock] = [*_titled("Cracks", texts.cracks)]
    names = ", ".join(line.name for line in walk.job.plan.breaks)
    if names:
        blocks.append(
            Para(f"Cracks and joints of the old floor that may show again in the new one: {names}.")
        )
    blocks += [*_titled("Puddles", texts.puddles), *_puddles(walk, top)]
    blocks += _titled("The local rule we hold to", texts.local_rule)
    return Part("normal", "Which cracks and puddles are normal", tuple(blocks))


def _puddles(walk: Walk, top: TopOption) -> list[PartBlock]:
    drainage, wishes, units = top.drainage, walk.newtop.wishes, walk.job.units
    if drainage is None:
        return []
    if drainage.ponded_area_m2 > 0:
        told = (
            f"As drawn, water stands on {write_area(drainage.ponded_area_m2, units)} of the new "
            f"floor, {write_thickness(drainage.deepest_m, units)} deep at the deepest. "
        )
    else:
        told = "As drawn, no water stands on the new floor. "
    if drainage.birdbath_chance is not None:
        told += (
            "No hand finishes a floor without error. With a finish that is off by "
            f"{write_thickness(wishes.finish_deviation_m, units)} two times out of three, a puddle "
            f"deeper than {write_thickness(wishes.birdbath_m, units)} stays somewhere "
            f"{_chance(drainage.birdbath_chance)}"
        )
        if drainage.birdbath_area_m2 and drainage.birdbath_chance > 0:
            area = write_area(drainage.birdbath_area_m2, units)
            told += f", {area} large on average"
        told += "."
    return [Para(told.strip())]


def _chance(share: float) -> str:
    """A chance for people who do not read shares."""
    in_hundred = round(100 * share)
    if in_hundred < 1:
        return "on less than 1 floor in 100"
    if in_hundred > 99:
        return "on more than 99 floors in 100"
    return f"on about {in_hundred} floors in 100"


def schedule(walk: Walk) -> Part:
    """When, and what happens when the weather is wrong."""
    texts = walk.job.proposal
    blocks = [*_titled("Schedule", texts.schedule), *_titled("Weather", texts.weather)]
    if walk.job.pour_date:
        blocks.insert(0, Facts((("Day of the pour", walk.job.pour_date),)))
    return Part("schedule", "Schedule and weather", tuple(blocks))


def use_dates(walk: Walk) -> UseAfter:
    """The days of use of a job."""
    return use_after(
        walk.job.proposal,
        pour_date=walk.job.pour_date,
        compound=walk.job.build.cure is not None,
        salt=walk.job.findings.deicers == "yes",
    )


def use_and_care(walk: Walk) -> Part:
    """From which day of a use, and the owner's words on care."""
    after, texts, units = use_dates(walk), walk.job.proposal, walk.job.units
    rows = tuple((one.says, _when(one), _why(one)) for one in after.dates)
    told = (
        "Counted from the day of the pour."
        if walk.job.pour_date
        else "Days after the pour; the dates follow when its day is set."
    )
    if after.cold_share is not None and texts.air_c is not None:
        air, mild = (write_by_suffix("air_c", one, units) for one in (texts.air_c, 20.0))
        told += (
            f" Stretched for cold: at {air} a day hardens concrete about as much as "
            f"{100 * after.cold_share:.0f} % of a day at {mild}."
        )
    else:
        mild = write_by_suffix("air_c", _MILD_C, units)
        told += f" For concrete near {mild}; in the cold it takes longer, so ask us first."
    blocks: list[PartBlock] = [
        Table(
            (Column("use", share=0.8, bold=True), Column("from"), Column("why then", share=1.6)),
            rows,
        ),
        Para(told, "small"),
    ]
    if texts.care:
        blocks += [Heading("Care"), Bullets(texts.care)]
    return Part("use", "Use and care", tuple(blocks))


def _when(one: UseDate) -> str:
    days = f"{one.days} day" if one.days == 1 else f"{one.days} days"
    return f"{one.date} ({days})" if one.date else f"{days} after the pour"


def _why(one: UseDate) -> str:
    told = "our own rule" if one.owners else one.source
    if one.practice and not one.owners:
        told = f"common practice; {told}"
    if one.strength is not None:
        most = min(1.0, one.strength)
        told += f". It then has about {100 * most:.0f} % of its 28-day strength (ACI 209)"
    return told


def cautions(walk: Walk) -> Part:
    """Where this work can hurt the people of the house."""
    found = walk.job.findings
    told = [
        STRUCTURE,
        "Keep people and animals off the fresh floor and behind the barrier. Wet concrete is "
        "caustic and burns skin and eyes: wash at once.",
        "Sawing, grinding and chipping concrete frees dust that scars the lungs: keep doors to the "
        "house shut and stay out while it is done.",
        "Engines indoors kill by carbon monoxide within minutes, open doors or not: keep out while "
        "machines run, and keep an alarm that measures it.",
    ]
    if walk.job.touches.facts.overhead_doors:
        told.append(
            "Springs and cables of overhead doors hold force that maims. Do not run the door until "
            "a door technician has set it to the new floor."
        )
    if walk.job.touches.facts.burners:
        told.append(
            "A heater or water heater whose height over the floor changes is for a licensed fitter "
            "to look at before it burns again."
        )
    if found.lift_posts != "no":
        told.append("Nothing is lifted on a vehicle lift until its maker and an engineer agree.")
    if found.heating_pipes != "no":
        told.append("No drilling into the floor where heating pipes lie or may lie.")
    return Part("cautions", "Take care", (Bullets(tuple(told)),))


def law(walk: Walk) -> Part:
    """The owner's texts for what law governs; what he has not given is not there."""
    texts = walk.job.proposal.law
    blocks: list[PartBlock] = []
    for key, title in _LAW:
        blocks += _titled(title, getattr(texts, key))
    return Part("terms", "Terms", tuple(blocks))


def signatures(walk: Walk) -> Part:
    """The owner's words above them, and room for two hands."""
    blank = (
        Column("for", share=1.2, bold=True),
        Column("name", share=1),
        Column("signature", share=1.3),
        Column("day", share=0.5),
    )
    texts = walk.job.proposal
    rows = (
        (texts.customer or "the owner of the floor", "", "", ""),
        (texts.firm or "who does the work", "", "", ""),
    )
    return Part(
        "signatures",
        "Signatures",
        (*own_words(texts.agreement), Table(blank, rows, size=10.0)),
    )


def _titled(title: str, text: str) -> list[PartBlock]:
    paras = own_words(text)
    return [Heading(title), *paras] if paras else []
