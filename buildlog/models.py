"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""

from buildlog.builds.models import Area, Build
from buildlog.decisions.models import Decision, Option, Verdict
from buildlog.keeping.models import KeepingPlan
from buildlog.measures.models import Usual
from buildlog.offline.models import Op
from buildlog.tasks.models import Change, Need, Provision, Task, TaskPart
from buildlog.telling.models import Piece, RecordRun, Story
from buildlog.worklog.models import Entry, EntryText, TaskTime, WorkSession

__all__ = [
    "Area",
    "Build",
    "Change",
    "Decision",
    "Entry",
    "EntryText",
    "KeepingPlan",
    "Need",
    "Op",
    "Option",
    "Piece",
    "Provision",
    "RecordRun",
    "Story",
    "Task",
    "TaskPart",
    "TaskTime",
    "Usual",
    "Verdict",
    "WorkSession",
]
