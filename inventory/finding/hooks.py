"""What finding tells the rest of the program when the apps load."""

from django.db.models.signals import post_migrate, pre_migrate

from inventory.web import nav
from inventory.web.meant import answered_by

from . import index, queries, registry, things


def install(app) -> None:
    registry.add(things.PARTS)
    registry.add(things.PLACES)
    answered_by(queries.meant)
    nav.on_bar(20, "Find", "inventory:find", icon="find", key="find")
    nav.on_shop_page(
        "Parts",
        30,
        "Words for the same thing",
        "inventory:find_words",
        "Bonnet and hood, and what you call things here",
    )
    pre_migrate.connect(index.before_migrations, sender=app, dispatch_uid="find_before")
    post_migrate.connect(index.after_migrations, sender=app, dispatch_uid="find_after")
