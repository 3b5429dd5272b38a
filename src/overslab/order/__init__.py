"""Which mix, how much, in which loads?"""

from overslab.order.decide import order
from overslab.order.records import AmountChoice, Load, MixAsked, Order, Plant

__all__ = ["AmountChoice", "Load", "MixAsked", "Order", "Plant", "order"]
