"""The exact choice of step samples: a question in, the cheapest plan out. It imports nothing of the house.

``choose`` answers a `Question` with a `Choice`; ``bound`` says what every plan costs at least; ``cost_without`` and
``without`` are for what-ifs.
"""

from lessonplan.samples.choice.answer import Choice, Costs, Impossible, Piece, Spell, Stop
from lessonplan.samples.choice.choose import NoPlanError, Progress, bound, choose, cost_without, without
from lessonplan.samples.choice.ladder import Ladder, State, Table, contains
from lessonplan.samples.choice.question import Demand, Limit, Question, Ready, Slot, Way, Weights

__all__ = [
    "Choice",
    "Costs",
    "Demand",
    "Impossible",
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
    "bound",
    "choose",
    "contains",
    "cost_without",
    "without",
]
