from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    verbose_name = "Inventory"

    def ready(self):
        """Each feature says where it is reached and what it shows on others' pages."""
        from inventory.parts.slots import contents
        from inventory.photos.slots import covers, panel
        from inventory.web import nav, slots

        nav.on_bar(80, "Places", "inventory:places_tree", icon="place", key="places")
        nav.on_bar(90, "Shop", "inventory:shop", icon="shop", key="shop")
        nav.on_shop_page("Parts", 10, "All parts", "inventory:parts_list", "Everything in the list, by name")
        nav.on_shop_page(
            "Parts",
            20,
            "What was moved lately",
            "inventory:parts_lately",
            "The newest moves, each with its Undo",
        )
        slots.fill("place_page", contents)
        slots.fill("place_page", panel)
        slots.fill("part_page", panel)
        slots.fill("pictures", covers)
