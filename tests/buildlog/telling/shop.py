"""A build with three nights in its log, for stories to be told from."""

import io
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from PIL import Image

from buildlog.worklog.actions import log, start, stop
from buildlog.worklog.actions_parts import log_part
from inventory.donors.actions import add_donor
from inventory.photos import actions as photos
from tests.factories import make_build, make_part, make_place, make_task


def picture(colour: str = "sienna", size: tuple[int, int] = (640, 480)) -> bytes:
    out = io.BytesIO()
    exif = Image.Exif()
    exif.get_ifd(0x8825)[1] = "N"  # where it was taken, as a phone writes it
    exif.get_ifd(0x8825)[2] = (50.0, 6.0, 21.0)
    Image.new("RGB", size, colour).save(out, "JPEG", exif=exif)
    return out.getvalue()


def make_photo(colour: str = "sienna", **fields):
    return photos.add(data=picture(colour), by=None, **fields)


@dataclass
class Nights:
    """Three nights: `first`, `second` and `third`, a task in an area, a donor, a bin."""

    owner: object
    first_start: datetime = datetime(2025, 11, 3, 18, 30, tzinfo=UTC)
    sessions: list = field(default_factory=list)

    def __post_init__(self):
        self.build = make_build("HB-64", areas=("Side hatch", "Floor"))
        self.hatch, self.floor = self.build.areas.order_by("order")
        self.hinges = make_task("Weld hatch hinges", build=self.build, area=self.hatch, detail="Shim the left leaf.")
        self.boards = make_task("Lay the floor boards", build=self.build, area=self.floor)
        self.bin = make_place("bin", short="B7", parent=make_place("container", name="Container 1", short="C1"))
        self.bench = make_place("bench", short="W1")
        wreck = make_place("vehicle", name="Halvard 20 pickup", short="D1")
        self.donor = add_donor(by=None, location=wreck, number="HX-44170-2", price=Decimal("1234.50"))
        self.pin = make_part("Hinge pin", holds={self.bin: 9}, donor=wreck, origin="pulled")
        self.photo, self.other_photo = make_photo(caption="Left leaf, before"), make_photo("navy", caption="And after")
        for number in range(3):
            self.night(number)

    def night(self, number: int):
        began = self.first_start + timedelta(days=number * 2)
        session = start(build=self.build, by=self.owner, at=began)
        self.sessions.append(session)

        def say(text: str, minutes: int, **more):
            at = began + timedelta(minutes=minutes)
            return log(by=self.owner, session=session, at=at, text=text, **more)

        if number == 0:
            self.binds = say("Left leaf binds, Sven held it", 10, task=self.hinges, photos=[self.photo])
            say(
                "hatch opening 43 5/16", 20, kind="measure", measured="43 5/16", unit="in", how="tape", task=self.hinges
            )
        elif number == 1:
            self.took = log_part(
                build=self.build, by=self.owner, part=self.pin, quantity=Decimal(2), happened="fitted",
                source=self.bin, task=self.hinges, session=session, at=began + timedelta(minutes=10),
            )  # fmt: skip
            say("Pin is worn oval", 30, kind="snag", task=self.hinges)
            self.secret = say("Quarrel about the noise", 40, private=True)
        else:
            self.floor_line = say("First board laid", 15, task=self.boards)
            self.closes = say("It closes with two fingers", 50, task=self.hinges, photos=[self.other_photo])
        stop(
            session=session, at=began + timedelta(minutes=150), stopping_point=f"Go on {number}",
            minutes={self.hinges: 60, self.boards: 30} if number == 2 else {self.hinges: 90},
        )  # fmt: skip
