"""Where something lies, from the words people use, as steps from the outside in.

Three ways of writing are read: words ('container, left, shelf 2, bin 14'), an address ('C1 L2 14',
'C1-L2-14') and the written-out path of an export ('container: Container 1 [C1] > rack: Left rack [L]').
What each noun is counted as is common practice, no source.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

KINDS = ("site", "container", "rack", "shelf", "bin", "bench", "organizer", "drawer", "vehicle")
DEEPEST = 8
LONGEST = 80

_NOUNS = {
    "site": "site yard barn garage shed workshop shop house loft attic cellar basement store storeroom "
            "storage room office lean-to carport unit lockup hall outbuilding stable",
    "container": "container trailer conteneur lorry",
    "rack": "rack racks racking shelving bay cupboard wardrobe reol regal",
    "shelf": "shelf level hylle hylla hylde fach",
    "bench": "bench workbench table desk worktop",
    "organizer": "organizer organiser cabinet drawers chest",
    "drawer": "drawer skuff skuffe schublade compartment",
    "bin": "bin box tub tray crate bucket tin jar bag basket tote case carton kasse kiste toolbox "
    "pallet drum hook",
    "vehicle": "vehicle donor van pickup estate",
}  # fmt: skip
_KIND_OF = {word: kind for kind, words in _NOUNS.items() for word in words.split()}
_DIRECTIONS = {
    word: word[0].upper()
    for word in ["left", "right", "back", "front", "middle", "lh", "rh", "north", "south", "east", "west"]
} | {
    "rear": "B",
    "centre": "M",
    "center": "M",
}
_FULL = {"lh": "left", "rh": "right"}
_LETTER = {"container": "C", "organizer": "H", "bench": "B", "vehicle": "D", "rack": "R"}
_OF_LETTER = {"c": "container", "h": "organizer", "o": "organizer", "d": "vehicle", "r": "rack", "s": "shelf",
              "b": "bin"}  # fmt: skip
_RANK = {k: n for n, k in enumerate(("site", "container", "vehicle", "rack", "bench", "organizer", "shelf",
                                     "drawer", "bin"))}  # fmt: skip
# What comes next inside: for a bare number, and for words that name no kind.
_INSIDE_NUMBER = {"": "bin", "site": "container", "container": "rack", "rack": "shelf", "organizer": "drawer"}
_INSIDE_WORDS = {"": "site", "site": "rack", "container": "rack", "rack": "shelf", "organizer": "drawer"}
_NOWHERE = frozenset(("?", "??", "???", "unknown", "n/a", "na", "tbd", "-", "--", "none", "somewhere", "lost"))
_IDENTIFIER = re.compile(r"^#?(\d{1,4}[a-z]?|[a-z]|[a-z]{1,2}\d{1,4})$", re.IGNORECASE)
_PIECE = re.compile(r"^(?:([a-z]{1,2})(\d{0,3}[a-z]?)|\d{1,4}[a-z]?)$", re.IGNORECASE)
_GLUED = re.compile(r"^(?:[a-z]{1,2}\d{1,4}){2,}$", re.IGNORECASE)  # C1L2, in a hurry
_EXPLICIT = re.compile(rf"^({'|'.join(KINDS)}):\s*(.+?)(?:\s*\[([^\]]*)\])?$")
_ORDINAL = re.compile(r"^(\d+)(?:st|nd|rd|th)$")
_WORDLESS = frozenset(("no", "nr", "number", "num", "the", "on", "in", "of", "at", "side", "hand", "wall"))


@dataclass(frozen=True, slots=True)
class Step:
    kind: str
    name: str
    short: str  # the piece of the address it would get; '' for a site

    @property
    def bare(self) -> bool:
        """Only the kind is named ('container'), not which one."""
        return self.name.lower() in _KIND_OF


@dataclass(frozen=True, slots=True)
class Place:
    """`address`: the text, where it looks like an address that may exist already; else ''.
    `problem`: '' or one of unclear, too-deep, too-long."""

    steps: tuple[Step, ...] = ()
    address: str = ""
    rest: str = ""  # what was said in brackets
    problem: str = ""


def write_place(steps: Iterable[Step]) -> str:
    """The written-out path that `read_place` reads back exactly."""
    return " > ".join(f"{s.kind}: {s.name}" + (f" [{s.short}]" if s.short else "") for s in steps)


@lru_cache(maxsize=8192)
def read_place(text: str) -> Place:
    """The steps named in `text`. Empty text: no steps and no problem."""
    words = " ".join(text.split())
    if not words:
        return Place()
    if explicit := _explicit(words):
        return Place(explicit) if len(explicit) <= DEEPEST else Place(problem="too-deep")
    if words.lower() in _NOWHERE:
        return Place(problem="unclear")
    rest = " ".join(re.findall(r"\(([^)]*)\)", words))
    words = re.sub(r"\s*\([^)]*\)", "", words).strip()
    if steps := _as_address(words):
        return _checked(steps, words, rest)
    steps = _in_words(words)
    return _checked(steps, "", rest) if steps else Place(problem="unclear", rest=rest)


@lru_cache(maxsize=8192)
def read_place_columns(pieces: tuple[tuple[str, str], ...]) -> Place:
    """A place whose steps stand in columns of their own: (kind, text) from the outside in.

    A kind of 'place' holds a whole phrase.
    """
    steps: list[Step] = []
    address, rest = "", ""
    for kind, text in pieces:
        text = " ".join(text.split())
        if not text or kind != "place" and text.lower() in _NOWHERE:
            continue
        if kind == "place":
            place = read_place(text)
            if place.problem:
                return place
            steps += place.steps
            address, rest = place.address, place.rest
        else:
            steps.append(_from_column(kind, text, steps))
    return _checked(tuple(steps), address if len(steps) and not _mixed(pieces) else "", rest)


def _mixed(pieces: tuple[tuple[str, str], ...]) -> bool:
    return sum(1 for _, text in pieces if text.strip()) > 1


def _from_column(kind: str, text: str, before: list[Step]) -> Step:
    words = text.split()
    named = any(_KIND_OF.get(w.lower().strip(".:#")) == kind for w in words)
    if not named and words[0].lower() in _DIRECTIONS:
        words = [*words, kind]
    elif not named and len(words) == 1 and _IDENTIFIER.match(words[0]):
        words = [kind, *words]
    return _step(kind, words, before)


def _checked(steps: tuple[Step, ...], address: str = "", rest: str = "") -> Place:
    if len(steps) > DEEPEST:
        return Place(rest=rest, problem="too-deep")
    if any(len(s.name) > LONGEST for s in steps):
        return Place(rest=rest, problem="too-long")
    ranks = [_RANK[s.kind] for s in steps]
    if len(ranks) > 1 and all(a > b for a, b in zip(ranks, ranks[1:], strict=False)):
        steps = tuple(reversed(steps))  # 'bin 14, shelf 2, container'
    return Place(steps, address, rest)


def _explicit(words: str) -> tuple[Step, ...]:
    matches = [_EXPLICIT.match(part.strip()) for part in words.split(" > ")]
    if not all(matches):
        return ()
    return tuple(Step(m[1], m[2], m[3] or "") for m in matches if m)


# -- an address ------------------------------------------------------------------------------------


def _as_address(words: str) -> tuple[Step, ...]:
    pieces = [p for p in re.split(r"[\s·•.,;/\\>_–-]+", words) if p]
    if pieces and _GLUED.match(pieces[0]):
        pieces[:1] = re.findall(r"[a-z]{1,2}\d+", pieces[0], re.IGNORECASE)
    if not pieces or len(pieces) > 5 or not all(_PIECE.match(p) for p in pieces):
        return ()
    if any(p.lower() in _KIND_OF for p in pieces) or not re.match(r"^[a-z]{1,2}\d+", pieces[0], re.I):
        return ()
    steps: list[Step] = []
    for index, piece in enumerate(pieces):
        steps += _piece(piece, steps[-1].kind if steps else "", pieces[index + 1 : index + 2])
    return tuple(steps)


def _piece(piece: str, inside: str, following: list[str]) -> list[Step]:
    piece = piece.upper()
    match = _PIECE.match(piece)
    letters, digits = (match[1] or "").upper(), match[2] or ""
    lettered = bool(letters and digits)
    if inside in ("container", "site") and lettered and not re.match(r"^[sS]\d", "".join(following)):
        return [_rack(letters), Step("shelf", f"Shelf {digits}", digits)]
    if inside in ("container", "site") and letters and not digits:
        return [_rack(letters)]
    if inside == "organizer":
        return [Step("drawer", f"Drawer {piece}", piece)]
    if lettered and (kind := _OF_LETTER.get(letters.lower())) and _RANK[kind] > _RANK.get(inside, -1):
        return [Step(kind, f"{'Donor' if kind == 'vehicle' else kind.capitalize()} {digits}", piece)]
    kind = _INSIDE_NUMBER.get(inside, "bin") if inside or lettered is False else "rack"
    return [Step(kind, f"{kind.capitalize()} {piece}", piece)]


def _rack(letters: str) -> Step:
    named = {"L": "Left rack", "R": "Right rack", "B": "Back rack", "F": "Front rack", "M": "Middle rack"}
    return Step("rack", named.get(letters, f"Rack {letters}"), letters)


# -- words -----------------------------------------------------------------------------------------


def _in_words(words: str) -> tuple[Step, ...]:
    steps: list[Step] = []
    for segment in re.split(r"\s*(?:[,;/\\>|·•▸→:\n]|\s[-–—]\s)\s*", words):
        for chunk in _chunks([w for w in re.split(r"\s+", segment) if w.strip(".#")]):
            steps += _from_chunk(chunk, steps)
    return tuple(steps)


def _chunks(words: list[str]) -> list[list[str]]:
    """Words of one segment, one noun to a chunk, with what stands before it and its number after it."""
    chunks: list[list[str]] = []
    current: list[str] = []
    index = 0
    while index < len(words):
        word = words[index]
        current.append(word)
        index += 1
        if _noun(word) and not _compound(word, words[index : index + 1]):
            while index < len(words) and words[index].lower().strip(".") in ("no", "nr", "number", "num"):
                index += 1
            if index < len(words) and _IDENTIFIER.match(words[index].strip(".")):
                current.append(words[index].strip("."))
                index += 1
            chunks.append(current)
            current = []
    if current:
        chunks.append(current)
    return chunks


def _noun(word: str) -> str:
    return _KIND_OF.get(word.lower().strip(".#"), "")


def _compound(word: str, following: list[str]) -> bool:
    """'drawer cabinet' is one thing; in 'left rack shelf 2' the second noun stands inside the first."""
    after = _noun(following[0]) if following else ""
    return bool(after) and _RANK[after] <= _RANK[_noun(word)]


def _from_chunk(words: list[str], before: list[Step]) -> list[Step]:
    inside = before[-1].kind if before else ""
    plain = [w.lower().strip(".#") for w in words]
    nouns = [w for w in plain if w in _KIND_OF]
    if nouns:
        kind = _KIND_OF[nouns[-1]]
        if kind == "shelf" and plain[0] in _DIRECTIONS and inside in ("container", "site"):
            return [_direction(plain[0]), _step("shelf", words[1:], before)]
        return [_step(kind, words, before)]
    telling = [w for w in plain if w not in _WORDLESS]
    if not telling:
        return []
    if len(telling) > 1 and all(_IDENTIFIER.match(w) for w in telling[telling[0] in _DIRECTIONS :]):
        steps: list[Step] = []
        for word in telling:  # 'left 3 8': nobody writes the commas
            steps += _from_chunk([word], [*before, *steps])
        return steps
    if telling[0] in _DIRECTIONS and len(telling) == 1:
        return [_direction(telling[0])]
    if len(telling) == 1 and _IDENTIFIER.match(telling[0]):
        kind = _INSIDE_NUMBER.get(inside, "bin")
        glued = _PIECE.match(telling[0])
        if kind == "rack" and glued and glued[1] and glued[2]:
            return _piece(telling[0], inside, [])
        return [_step(kind, [kind, telling[0]], before)]
    return [_step(_INSIDE_WORDS.get(inside, "bin"), words, before)]


def _direction(word: str) -> Step:
    return Step("rack", f"{_FULL.get(word, word)} rack".capitalize(), _DIRECTIONS[word])


def _step(kind: str, words: list[str], before: list[Step]) -> Step:
    if len(words) == 2 and (ordinal := _ORDINAL.match(words[0].lower())):
        words = [words[1], ordinal[1]]  # '2nd shelf'
    name = " ".join(w.strip("#") or w for w in words)
    if name.islower() or words[0].islower():
        name = name[0].upper() + name[1:]
    if len(words) > 1 and _IDENTIFIER.match(words[-1]) and words[-1].islower():
        name = f"{name[: -len(words[-1])]}{words[-1].upper()}"
    return Step(kind, name, _short(kind, words, before))


def _short(kind: str, words: list[str], before: list[Step]) -> str:
    if kind == "site":
        return ""
    plain = [w.strip(".#:") for w in words]
    # A vehicle is often named with a number in the middle ('Halvard 20 pickup'); that one is not its own.
    tail = plain[-1:] if kind == "vehicle" else plain
    number = next((w for w in reversed(tail) if _IDENTIFIER.match(w)), "").upper()
    telling = [w for w in plain if w.lower() not in _KIND_OF and w.lower() not in _WORDLESS and w]
    if number:
        if number[0].isdigit() and kind in _LETTER:
            return f"{_LETTER[kind]}{number}"
        if kind == "shelf" and number[0].isdigit() and _ends_in_digit(before):
            return f"S{number}"  # a shelf's piece is glued to its rack's: R1 and 2 would read as R12
        return number
    if kind == "rack" and telling and telling[0].lower() in _DIRECTIONS:
        return _DIRECTIONS[telling[0].lower()]
    if len(plain) == 1 and kind in ("container", "organizer") and _noun(plain[0]):
        return f"{_LETTER[kind]}1"
    named = telling if telling and kind in ("rack", "shelf") else plain
    initials = "".join(w[0] for w in named if w and w[0].isalnum()).upper()[:4]
    return initials or kind[0].upper()


def _ends_in_digit(before: list[Step]) -> bool:
    return bool(before) and before[-1].kind == "rack" and before[-1].short[-1:].isdigit()
