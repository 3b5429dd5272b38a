"""overslab: from a field book of laser shots to a new concrete top that drains."""

__version__ = "0.1.0"
