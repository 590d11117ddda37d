"""The pictures of a story: hours by area, what it finished in the network, where parts came from, before and after."""

import io
from collections import defaultdict

from django.template.loader import render_to_string
from PIL import Image

from buildlog.tasks.calc.network import BOX_HEIGHT, BOX_WIDTH, draw
from buildlog.tasks.queries import plan
from buildlog.worklog.models import Kind
from inventory.labels.pdf import FAMILIES, Missing, closed_fetcher, faces, weasyprint
from inventory.parts.models import Origin

from . import drafts, holding, queries
from .calc import charts
from .calc.charts import Drawing
from .calc.commonmark import plain
from .models import Piece, Story
from .record_pdf import picture
from .told import Pair, Teller, Told

PNG_WIDTH = 1920
FROM = {Origin.BOUGHT: "Bought", Origin.MADE: "Made here", Origin.PULLED: "Pulled", Origin.FOUND: "Found"}
SAYS = {"done": "✓ Done", "started": "● Started", "ready": "▲ Ready", "held": "✕ Held", "dropped": "Dropped"}


class Drawer:
    """Reads a story once for all its drawings; every word in them is held back as in the story."""

    def __init__(self, story: Story):
        self.story = story
        self.rows: list[Piece] = queries.pieces(story)
        self.given = drafts.source(story, self.rows)
        self.clean = Teller(story.keeps, holding.known(story.build), lambda photo: "").clean

    def all(self) -> dict[str, Drawing]:
        """By name; what there is nothing to draw of is left out."""
        made = {"hours": self.hours(), "network": self.network(), "origins": self.origins()}
        return {name: drawing for name, drawing in made.items() if drawing}

    def hours(self) -> Drawing | None:
        minutes: dict[str, int] = defaultdict(int)
        for time in self.given.times:
            minutes[time.task.area.name if time.task.area else "Besides"] += time.minutes
        rows = [(self.clean(name), count, drafts.spent_said(count)) for name, count in minutes.items()]
        return charts.bars("Hours by area", sorted(rows, key=lambda row: -row[1])) if rows else None

    def network(self) -> Drawing | None:
        """What the story worked on, what that needed, and what it lets go on."""
        whole = plan(self.story.build)
        touched = {entry.task_id for entry in self.given.entries if entry.task_id in whole.rows}
        near = {need for task in touched for need in whole.needs[task]}
        near |= {row.task.pk for task in touched for row in whole.needed_by(task)}
        shown = [
            id for id in whole.rows if id in (touched | near) - self.given.hidden and whole.rows[id].state != "dropped"
        ]
        drawing = draw(shown, whole.needs)
        if not drawing.boxes:
            return None
        ended = {entry.task_id for entry in self.given.entries if entry.kind == Kind.TASK and "Finished" in entry.says}
        cards = []
        for box in drawing.boxes:
            row = whole.rows[box.task]
            finished = box.task in ended or (box.task in touched and row.state == "done")
            says = "✓ Finished in this story" if finished else SAYS[row.state]
            kind = "finished" if finished else row.state
            cards.append(charts.Card(box.x, box.y, self.clean(row.task.title), says, kind))
        arrows = [arrow.path for arrow in drawing.arrows]
        size = (BOX_WIDTH, BOX_HEIGHT)
        return charts.network("What it finished", drawing.width, drawing.height, size, cards, arrows)

    def origins(self) -> Drawing | None:
        """Kinds of part that went into the build, by where they came from and into which area."""
        kinds = {
            (move.part, entry.task.area.name if entry.task and entry.task.area else self.story.build.name)
            for entry, move in self.given.moves if entry.happened in drafts.INTO_IT
        }  # fmt: skip
        counts: dict[tuple[str, str], int] = defaultdict(int)
        for part, area in kinds:
            source = part.donor.title if part.donor else FROM[part.origin]
            counts[self.clean(source), self.clean(area)] += 1
        return charts.flows("Where parts came from", counts) if counts else None


def pair_drawing(block: Pair) -> Drawing:
    before, after = ((f"photo:{one.photo}", one.width, one.height) for one in (block.before, block.after))
    return charts.side_by_side(before, after, block.text)


def suggested(told: Told, rows: list[Piece]) -> list[tuple]:
    """[(words, before, after)]: the first and the last picture of each task that has two and is in no pair yet."""
    there = {(row.before_id, row.after_id) for row in rows if row.before_id}
    shown = {one.photo for one in told.pictures}
    by_task: dict = defaultdict(list)
    for row in rows:
        if row.entry and row.entry.task and not row.left_out:
            by_task[row.entry.task].extend(photo for photo in row.entry.photos.all() if photo.pk.hex in shown)
    found = [(task.title, photos[0], photos[-1]) for task, photos in by_task.items() if len(photos) > 1]
    return [one for one in found if (one[1].pk, one[2].pk) not in there]


def as_svg(drawing: Drawing) -> str:
    """A file of its own, on paper."""
    context = {"drawing": drawing, "family": ", ".join(f"'{name}'" for name in FAMILIES.values())}
    return plain(render_to_string("print/drawing_alone.html", context)).strip()


def as_png(drawing: Drawing) -> bytes:
    """1920 pixels wide. Raises Missing where the libraries for it are not installed."""
    try:
        import pypdfium2
    except ImportError as error:
        raise Missing(str(error)) from error
    html = render_to_string("print/drawing.html", {"svg": as_svg(drawing), "font_faces": faces(), "drawing": drawing})
    pdf = (
        weasyprint()
        .HTML(string=html, url_fetcher=closed_fetcher(lambda address: picture(address, PNG_WIDTH // 2)))
        .write_pdf()
    )
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[0]
        image: Image.Image = page.render(scale=PNG_WIDTH / page.get_width()).to_pil()
    finally:
        document.close()
    out = io.BytesIO()
    image.resize((PNG_WIDTH, round(PNG_WIDTH * drawing.height / drawing.width))).save(out, "PNG", optimize=True)
    return out.getvalue()
