"""Addresses of the build log, one line a feature."""

from buildlog.builds.urls import urlpatterns as builds
from buildlog.decisions.urls import urlpatterns as decisions
from buildlog.keeping.urls import urlpatterns as keeping
from buildlog.lookback.urls import urlpatterns as lookback
from buildlog.measures.urls import urlpatterns as measures
from buildlog.offline.urls import urlpatterns as offline
from buildlog.tasks.urls import urlpatterns as tasks
from buildlog.telling.urls import urlpatterns as telling
from buildlog.worklog.urls import urlpatterns as worklog

app_name = "buildlog"

urlpatterns = [
    *keeping,
    *builds,
    *decisions,
    *offline,
    *tasks,
    *measures,
    *worklog,
    *lookback,
    *telling,
]
