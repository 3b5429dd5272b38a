"""The only place that knows feet, inches and fractions, tenths, psi, cubic yards and degrees."""

from overslab.ground.units.systems import System, Units

__all__ = ["System", "Units"]
