from django.apps import AppConfig


class BuildlogConfig(AppConfig):
    name = "buildlog"
    verbose_name = "Build log"

    def ready(self):
        from buildlog.config import checks  # noqa: F401  registers the system checks
