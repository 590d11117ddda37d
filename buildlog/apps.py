from django.apps import AppConfig


class BuildlogConfig(AppConfig):
    name = "buildlog"
    verbose_name = "Build log"

    def ready(self):
        """Each feature says where it is reached and what it shows on others' pages."""
        from buildlog.config import checks  # noqa: F401  registers the system checks
        from buildlog.keeping.across import carry
        from buildlog.lookback.found import LINES
        from buildlog.lookback.slots import on_part, on_photo
        from buildlog.offline import slots as offline
        from buildlog.tasks import actions, demo
        from buildlog.tasks.found import TASKS
        from buildlog.tasks.queries import spoken_for
        from buildlog.tasks.slots import lets_go_on, short_of, wanted_by
        from buildlog.telling import sharing
        from buildlog.worklog import demo as nights
        from buildlog.worklog.actions_parts import give_back
        from buildlog.worklog.slots import decided, log_of_task, marked, to_tonight
        from inventory.finding import registry
        from inventory.web import nav, slots

        nav.on_bar(10, "Tonight", "buildlog:tonight", icon="tonight", key="tonight")
        nav.on_bar(40, "Plan", "buildlog:plan", icon="plan", key="plan")
        nav.on_bar(60, "Tell", "buildlog:stories_list", icon="tell", key="tell", desk_only=True)
        nav.on_shop_page(
            "Builds", 20, "Tell the story", "buildlog:stories_list", "A post, a video or a record, from the log"
        )
        nav.on_shop_page(
            "Builds", 10, "Builds", "buildlog:builds_list", "What is being built, its areas and its vehicle"
        )
        nav.on_shop_page(
            "Builds", 30, "Instruments", "buildlog:instruments", "How far off a measure may be", owner_only=True
        )
        nav.on_shop_page(
            "Safety", 10, "Kept safe", "buildlog:keeping", "Backups, and whether the shop is well", owner_only=True
        )
        nav.on_shop_page(
            "People", 60, "This phone", "buildlog:phone", "What works on it without signal, and what is missing"
        )
        slots.fill("scan_page", offline.on_scan)
        slots.fill("place_page", offline.on_place)
        slots.fill("every_page", lambda: "buildlog/offline/head.html")
        slots.fill("spoken_for", spoken_for)
        slots.fill("part_page", wanted_by)
        slots.fill("part_page", on_part)
        slots.fill("photo_page", on_photo)
        slots.fill("wanted", short_of)
        slots.fill("front_page", to_tonight)
        slots.fill("task_page", log_of_task)
        slots.fill("decided", decided)
        slots.fill("decided", lets_go_on)
        slots.fill("marked", marked)
        slots.fill("undone", give_back)
        carry(sharing.shared_keys, sharing.end_all_but)
        registry.add(TASKS)
        registry.add(LINES)
        slots.fill("merged", actions.merged)
        slots.fill("demo", demo.load)
        slots.fill("demo", nights.load)
        slots.fill("demo_remove", nights.remove)
        slots.fill("demo_remove", demo.remove)
