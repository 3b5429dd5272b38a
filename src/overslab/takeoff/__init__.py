"""How much of everything?"""

from overslab.takeoff.measure import measure
from overslab.takeoff.records import NotebookAnswer, Portion, Takeoff

__all__ = ["NotebookAnswer", "Portion", "Takeoff", "measure"]
