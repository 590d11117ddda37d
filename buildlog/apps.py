from django.apps import AppConfig


class BuildlogConfig(AppConfig):
    name = "buildlog"
    verbose_name = "Build log"
