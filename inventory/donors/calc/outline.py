"""A simple side view of a vehicle, drawn by hand here, with a field for each zone. No wording; front to the left.

Units are those of the drawing, 360 by 182, y downwards. Zones do not overlap; each has a spot for its counts, clear of
the wheels.
"""

from dataclasses import dataclass

from .zones import BACK, CAB, FRONT, UNDER

WIDTH, HEIGHT = 360, 182
FLOOR = 130  # the line of the sills
AXLE, RADIUS = 138, 22


@dataclass(frozen=True, slots=True)
class Field:
    """A zone: its outline as an SVG path, and the foot of its middle count; `across`: in a row, not a column."""

    zone: str
    path: str
    x: int
    y: int
    across: bool = False


@dataclass(frozen=True, slots=True)
class Outline:
    fields: tuple[Field, ...]
    windows: tuple[str, ...]
    wheels: tuple[tuple[int, int, int], ...]  # middle and radius


def _wheels(front: int, rear: int) -> tuple[tuple[int, int, int], ...]:
    return (front, AXLE, RADIUS), (rear, AXLE, RADIUS)


def _under(front: int, rear: int) -> Field:
    left, right = front + RADIUS + 6, rear - RADIUS - 6
    return Field(UNDER, f"M{left} {FLOOR + 6}H{right}V{FLOOR + 38}H{left}Z", (left + right) // 2, FLOOR + 28, True)


OUTLINES = {
    "van": Outline(
        (
            Field(FRONT, f"M12 {FLOOR}V78L26 70L70 66V{FLOOR}Z", 39, 103),
            Field(CAB, f"M70 {FLOOR}V66L96 20H152V{FLOOR}Z", 118, 101),
            Field(BACK, f"M152 {FLOOR}V14H348V{FLOOR}Z", 250, 76),
            _under(72, 290),
        ),
        ("M86 60L102 30H144V60Z",),
        _wheels(72, 290),
    ),
    "pickup": Outline(
        (
            Field(FRONT, f"M12 {FLOOR}V78L26 70L84 66V{FLOOR}Z", 41, 103),
            Field(CAB, f"M84 {FLOOR}V66L106 20H172V{FLOOR}Z", 134, 101),
            Field(BACK, f"M172 {FLOOR}V66H348V{FLOOR}Z", 222, 104),
            _under(72, 290),
        ),
        ("M98 60L112 30H164V60Z",),
        _wheels(72, 290),
    ),
    "saloon": Outline(
        (
            Field(FRONT, f"M12 {FLOOR}V80L24 70L108 64V{FLOOR}Z", 39, 103),
            Field(CAB, f"M108 {FLOOR}V64L142 22H222L258 64V{FLOOR}Z", 183, 101),
            Field(BACK, f"M258 {FLOOR}V64L340 70L348 80V{FLOOR}Z", 325, 104),
            _under(70, 292),
        ),
        ("M124 60L148 30H178V60Z", "M186 60V30H218L243 60Z"),
        _wheels(70, 292),
    ),
    "estate": Outline(
        (
            Field(FRONT, f"M12 {FLOOR}V80L24 70L100 64V{FLOOR}Z", 37, 103),
            Field(CAB, f"M100 {FLOOR}V64L132 22H230V{FLOOR}Z", 165, 101),
            Field(BACK, f"M230 {FLOOR}V22H318L348 70V{FLOOR}Z", 252, 101),
            _under(68, 290),
        ),
        ("M116 60L138 30H168V60Z", "M176 60V30H222V60Z", "M238 60V30H314L332 60Z"),
        _wheels(68, 290),
    ),
}  # fmt: skip
