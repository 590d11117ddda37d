from django.apps import AppConfig


class BuildlogConfig(AppConfig):
    name = "buildlog"
    verbose_name = "Build log"

    def ready(self):
        """Each feature says where it is reached and what it shows on others' pages."""
        from buildlog.config import checks  # noqa: F401  registers the system checks
        from inventory.web import nav

        nav.on_shop_page(
            "Safety", 10, "Kept safe", "buildlog:keeping", "Backups, and whether the shop is well", owner_only=True
        )
