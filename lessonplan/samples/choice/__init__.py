"""The exact choice of step samples: a question in, the cheapest plan out. It imports nothing of the house.

``choose.choose`` answers a `Question` with a `Choice`; ``choose.bound`` says what every plan costs at least;
``choose.cost_without`` and ``choose.without`` are for what-ifs. Who does not choose need not load the solver.
"""

from lessonplan.samples.choice.answer import Choice, NoPlanError, Piece, Progress, Spell, Stop
from lessonplan.samples.choice.ladder import Ladder, State, Table, contains
from lessonplan.samples.choice.question import Demand, Limit, Question, Ready, Slot, Way, Weights

__all__ = [
    "Choice",
    "Demand",
    "Ladder",
    "Limit",
    "NoPlanError",
    "Piece",
    "Progress",
    "Question",
    "Ready",
    "Slot",
    "Spell",
    "State",
    "Stop",
    "Table",
    "Way",
    "Weights",
    "contains",
]
