from django.apps import AppConfig


class InventoryConfig(AppConfig):
    name = "inventory"
    verbose_name = "Inventory"

    def ready(self):
        """Each feature says where it is reached and what it shows on others' pages."""
        from inventory.web.forms import speak_plainly

        speak_plainly()  # before any form is made

        from inventory.donors import demo, pulling
        from inventory.donors import slots as donors
        from inventory.fasteners import found as sizes_found
        from inventory.fasteners import slots as fasteners
        from inventory.finding import hooks as finding
        from inventory.labels import found
        from inventory.labels import slots as labels
        from inventory.organizers import actions as organizing
        from inventory.organizers import slots as organizers
        from inventory.parts.slots import contents, in_cells
        from inventory.photos import actions as photos
        from inventory.photos.slots import covers, panel
        from inventory.shop.slots import to_first_steps
        from inventory.web import nav, slots

        nav.on_bar(80, "Places", "inventory:places_tree", icon="place", key="places", desk_only=True)
        nav.on_shop_page("Parts", 5, "Places", "inventory:places_tree", "Containers, racks, bins, benches: all of them")
        nav.on_bar(90, "Shop", "inventory:shop", icon="shop", key="shop")
        nav.on_shop_page("Parts", 10, "All parts", "inventory:parts_list", "Everything in the list, by name")
        nav.on_shop_page(
            "Parts",
            20,
            "What was moved lately",
            "inventory:parts_lately",
            "The newest moves, each with its Undo",
        )
        nav.on_shop_page(
            "People", 70, "You and your devices", "inventory:people_me", "Name, password, what is signed in"
        )
        nav.on_shop_page("People", 71, "Let a phone in", "inventory:people_let_in", "Shows a code for its camera")
        nav.on_shop_page(
            "People", 72, "People of the shop", "inventory:people_list", "Who may come in, and do what", owner_only=True
        )
        nav.on_first_steps(10, "Make a place", "inventory:places_new", "A container, a rack, an organizer, a bench")
        nav.on_first_steps(
            20,
            "Bring your spreadsheet",
            "inventory:importing_start",
            "The list you kept until now; places are made as needed",
        )
        nav.on_first_steps(
            30, "Look around first", "inventory:demo", "Load a demo shop; it goes again in one go", owner_only=True
        )
        nav.on_shop_page(
            "In and out", 90, "The demo shop", "inventory:demo", "Load it, or take it away again", owner_only=True
        )
        nav.on_bar(70, "Donors", "inventory:donors_list", icon="donor", key="donors", desk_only=True)
        nav.on_shop_page(
            "Parts", 40, "Donor vehicles", "inventory:donors_list", "What came off them, what is wanted, what they cost"
        )
        nav.on_shop_page(
            "Parts",
            50,
            "Look a fastener up",
            "inventory:fasteners_look",
            "Drill, spanner, strength and torque for a thread",
        )
        nav.on_shop_page(
            "Parts",
            51,
            "What is this?",
            "inventory:fasteners_what",
            "From a caliper and a thread gauge, or a ruler",
        )
        nav.on_shop_page(
            "Parts",
            52,
            "Will something here do?",
            "inventory:fasteners_instead",
            "What the shop has in place of a bolt",
        )
        slots.fill("part_page", fasteners.on_part)
        slots.fill("place_page", donors.on_place)
        slots.fill("part_page", donors.on_part)
        slots.fill("taken_out", pulling.taken_out)
        slots.fill("undone", pulling.undone)
        slots.fill("demo", demo.load)
        slots.fill("demo_remove", demo.remove)
        slots.fill("front_page", to_first_steps)
        nav.on_shop_page(
            "In and out",
            10,
            "Bring what you have",
            "inventory:importing_start",
            "The spreadsheet you keep now, as it is",
        )
        nav.on_shop_page(
            "In and out", 20, "Take it with you", "inventory:importing_export", "Parts, places and moves as CSV or JSON"
        )
        slots.fill("place_page", organizers.on_place)
        slots.fill("undone", organizing.undone)
        slots.fill("place_page", contents)
        slots.fill("in_cells", in_cells)
        slots.fill("place_page", panel)
        slots.fill("part_page", panel)
        slots.fill("pictures", covers)
        slots.fill("merged", photos.merged)
        finding.install(self)
        found.install()
        sizes_found.install()
        nav.on_bar(30, "Scan", "inventory:scan", icon="scan", key="scan")
        nav.on_shop_page("Labels", 30, "Labels", "inventory:labels_home", "Print them, and what they are stuck on")
        slots.fill("place_page", labels.on_place)
        slots.fill("part_page", labels.on_part)
