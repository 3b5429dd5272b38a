"""What does it cost, what do we ask, and against what else?"""

from overslab.price.bidding import bid
from overslab.price.history import learn
from overslab.price.promises import (
    LegalTexts,
    NotGiven,
    OptionOffered,
    ProposalTexts,
    UnitRate,
)
from overslab.price.records import Bid, Rates
from overslab.price.useafter import UseAfter, UseDate, use_after
from overslab.price.wishing import price_of_wishes

__all__ = [
    "Bid",
    "LegalTexts",
    "NotGiven",
    "OptionOffered",
    "ProposalTexts",
    "Rates",
    "UnitRate",
    "UseAfter",
    "UseDate",
    "bid",
    "learn",
    "price_of_wishes",
    "use_after",
]
