"""Checks a vehicle identification number, and says which character was most likely misread.

Structure: ISO 3779:2009. Check digit: 49 CFR 565.15(c): each character has a value, each position a weight;
the sum modulo 11 stands in position 9, with X for 10. I, O and Q are never used. It is required in North
America from model year 1981; elsewhere, and before, a sound number need not pass. Other lengths are taken as
they are.
"""

from dataclasses import dataclass

LENGTH = 17
CHECK_POSITION = 9
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
VALUES = {str(digit): digit for digit in range(10)} | dict(
    zip(
        "ABCDEFGHJKLMNPRSTUVWXYZ",
        (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9),
        strict=True,
    )
)
_NEVER = {"I": "1", "O": "0", "Q": "0"}
# Positions 14 to 17 are figures, 49 CFR 565.15(d).
_FIGURES_FROM = 14
# Characters taken for each other on a worn or dirty plate, most often first (common practice, no source).
_ALIKE = (
    "8B",
    "5S",
    "0D",
    "2Z",
    "6G",
    "1L",
    "1T",
    "17",
    "UV",
    "VY",
    "EF",
    "PR",
    "38",
    "MN",
    "CG",
    "56",
    "4A",
    "HN",
    "KX",
)

NOT_17, PASSES, FAILS, NO_CHECK_DIGIT = "not 17", "passes", "fails", "no check digit"


@dataclass(frozen=True, slots=True)
class Suspect:
    """A position, counted from 1, what was read there and what would put the number right."""

    position: int
    read: str
    likely: str


@dataclass(frozen=True, slots=True)
class VinCheck:
    """`standing` is 'passes', 'fails', 'no check digit' (position 9 holds none: common outside North America)
    or 'not 17'. Only 'fails' is worth a warning, and even that is no error.

    barred: (position, character) of what no 17-character number may hold. expected: what position 9 should be;
    '' where it cannot be worked out. suspects: most likely first.
    """

    number: str
    standing: str
    expected: str = ""
    found: str = ""
    barred: tuple[tuple[int, str], ...] = ()
    suspects: tuple[Suspect, ...] = ()


def tidy(text: str) -> str:
    """Capitals, with spaces, hyphens, full stops and the stars stamped at either end taken out."""
    return "".join(c for c in text.upper() if c not in " \t\n\r-–—.*·")


def check_digit(number: str) -> str:
    """The character for position 9 of a 17-character number. KeyError for a character that has no value."""
    remainder = weighted_sum(number) % 11
    return "X" if remainder == 10 else str(remainder)


def weighted_sum(number: str) -> int:
    return sum(VALUES[c] * weight for c, weight in zip(number, WEIGHTS, strict=True))


def check_vin(text: str) -> VinCheck:
    """Check a number of any length and age. Never raises."""
    number = tidy(text)
    if len(number) != LENGTH:
        return VinCheck(number, NOT_17)
    found = number[CHECK_POSITION - 1]
    barred = tuple((at, c) for at, c in enumerate(number, start=1) if c not in VALUES)
    if barred:
        return VinCheck(number, FAILS, found=found, barred=barred, suspects=_for_barred(number, barred))
    expected = check_digit(number)
    if found == expected:
        return VinCheck(number, PASSES, expected, found)
    standing = FAILS if found in "0123456789X" else NO_CHECK_DIGIT
    return VinCheck(number, standing, expected, found, suspects=_misreadings(number))


def _for_barred(number: str, barred: tuple[tuple[int, str], ...]) -> tuple[Suspect, ...]:
    """I, O and Q are figures misread; for any other mark no likely reading is known."""
    return tuple(Suspect(at, c, _NEVER.get(c, "")) for at, c in barred)


def _misreadings(number: str) -> tuple[Suspect, ...]:
    """Each single look-alike that would put the number right; letters among the last four figures first."""
    found = []
    for at, read in enumerate(number, start=1):
        for rank, pair in enumerate(_ALIKE):
            if read in pair:
                likely = pair.replace(read, "")
                if _passes(number[: at - 1] + likely + number[at:]):
                    found.append((_order(at, read, likely), rank, Suspect(at, read, likely)))
    return tuple(suspect for _, _, suspect in sorted(found, key=lambda entry: entry[:2]))


def _order(at: int, read: str, likely: str) -> int:
    if at < _FIGURES_FROM:
        return 1
    if read.isalpha() and likely.isdigit():
        return 0
    return 1 if likely.isdigit() else 2


def _passes(number: str) -> bool:
    return number[CHECK_POSITION - 1] == check_digit(number)
