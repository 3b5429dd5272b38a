"""Which mix, how much, in which loads?"""

from overslab.order.decide import order
from overslab.order.frost import exposure_of
from overslab.order.mix_faults import mix_faults
from overslab.order.mixing import check_mix
from overslab.order.records import (
    AmountChoice,
    Exposure,
    Load,
    MixAsked,
    MixCheck,
    Order,
    Plant,
    PlantMix,
)

__all__ = [
    "AmountChoice",
    "Exposure",
    "Load",
    "MixAsked",
    "MixCheck",
    "Order",
    "Plant",
    "PlantMix",
    "check_mix",
    "exposure_of",
    "mix_faults",
    "order",
]
