"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""

from buildlog.keeping.models import KeepingPlan

__all__ = ["KeepingPlan"]
from buildlog.builds.models import Area, Build  # noqa: F401
from buildlog.decisions.models import Decision, Option  # noqa: F401
from buildlog.tasks.models import Change, Need, Provision, Task, TaskPart  # noqa: F401
