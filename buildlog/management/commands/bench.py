import importlib
import json
from pathlib import Path

from django.conf import settings
from django.core.management import BaseCommand, call_command
from django.test.utils import override_settings

FIGURES = ["ours", "floor", "ratio", "goal"]


class Command(BaseCommand):
    help = "Measure the shop beside the least it could cost. Shops of each size are made once and kept."

    def add_arguments(self, parser):
        parser.add_argument("--json", action="store_true", help="print the rows as JSON")
        parser.add_argument("--sizes", default="1000,10000,100000", help="how many parts, as 1000,10000,100000")
        parser.add_argument("--only", default="", help="only rows with this in their name")

    def handle(self, *args, sizes: str, only: str, **options):
        from tests.bench.rows import WIDE, in_line, measures
        from tests.bench.shop import open_shop

        for path in sorted(Path(settings.BASE_DIR, "tests", "bench").glob("rows_*.py")):
            importlib.import_module(f"tests.bench.{path.stem}")
        call_command("collectstatic", interactive=False, verbosity=0)  # pages name their files by hash
        rows = []
        with override_settings(ROOT_URLCONF="tests.bench.urls", ALLOWED_HOSTS=["*"]):
            for turn, size in enumerate(map(int, sizes.split(","))):
                shop = open_shop(size, say=self.stderr.write)
                for measure in measures(only, first=turn == 0):
                    for row in measure(shop):
                        rows.append(row)
                        self.stderr.write(in_line(row))  # a whole run takes long: what is known is shown at once
        if options["json"]:
            return json.dumps([row.as_json() for row in rows], indent=1)
        heading = "  ".join(["name".ljust(WIDE), *(name.rjust(9) for name in FIGURES)])
        return "\n".join([heading, *map(in_line, rows)])
