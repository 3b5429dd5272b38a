"""The words of the proposal out of ``job.toml`` and ``rates.toml``."""

from __future__ import annotations

from overslab.ground import units
from overslab.ground.faults import Fault
from overslab.job import faults
from overslab.job.checking import Checked
from overslab.job.proposalkeys import ProposalFacts
from overslab.job.ratesfile import RatesFile
from overslab.price import LegalTexts, OptionOffered, ProposalTexts, UnitRate


def proposal_in(
    facts: ProposalFacts, rates: RatesFile | None, *, source: Checked, found: list[Fault]
) -> ProposalTexts:
    """The owner's words as written; a price that ends before its day goes to ``found``."""
    if facts.date and facts.valid_until and facts.valid_until < facts.date:
        place = source.place("proposal", "valid_until")
        found.append(faults.VALID_EARLY.met(value=facts.valid_until, place=place, day=facts.date))
    payment = rates.payment if rates else None
    law = facts.law
    return ProposalTexts(
        firm=facts.firm,
        contact=facts.contact,
        customer=facts.customer,
        customer_place=facts.customer_place,
        date=facts.date or "",
        valid_until=facts.valid_until or "",
        problem=facts.problem,
        scope=tuple(facts.scope),
        not_in_scope=tuple(facts.not_in_scope),
        may_change=tuple(facts.may_change),
        cracks=facts.cracks,
        puddles=facts.puddles,
        local_rule=facts.local_rule,
        schedule=facts.schedule,
        weather=facts.weather,
        care=tuple(facts.care),
        payment=payment.terms if payment else "",
        agreement=facts.agreement,
        walk_days=facts.walk_days,
        park_days=facts.park_days,
        load_days=facts.load_days,
        cure_days=facts.cure_days,
        air_c=None if facts.air is None else facts.air.value,
        options=tuple(
            OptionOffered(one.name, one.says, units.read_money(one.price.text))
            for one in (rates.options if rates else ())
        ),
        unit_rates=tuple(
            UnitRate(one.what, units.read_money(one.price.text), one.per)
            for one in (rates.unit_rates if rates else ())
        ),
        law=LegalTexts(
            deposit=payment.deposit if payment else "",
            cancellation=law.cancellation,
            licence=law.licence,
            insurance=law.insurance,
            warranty=law.warranty,
            other=law.other,
        ),
    )
