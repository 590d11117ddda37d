"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""

from buildlog.keeping.models import KeepingPlan

__all__ = ["KeepingPlan"]
