"""Reads a fastener as people write it, and says what was understood, what was guessed, what was left over."""

import re
import unicodedata
from dataclasses import dataclass, field, fields

from . import words
from .fastener import FORMS, GRADE, LOCKING, THREADED, Fastener
from .sizes import find_size
from .standards import WRITTEN, Implied, implied_by, named


@dataclass(frozen=True, slots=True)
class Reading:
    """`fastener` is None when no size was found, or a thread form that is not kept here (doubt 'thread').

    understood: fields and values that the text itself gave. assumed: fields filled by what is usual or by
    the standard named. doubts: fields where the text says two things, or a word has two meanings. left:
    words not used.
    """

    fastener: Fastener | None
    understood: tuple[tuple[str, object], ...] = ()
    assumed: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    count: int | None = None


# A line on a box is shorter; what comes after is not read.
MOST_CHARACTERS = 200

_COUNT = re.compile(
    r"^\s*(?:qty\.?\s*)?(\d+)\s*(?:x\s*(?=m\s?\d)|x\s+(?=#|\d+/\d)|(?:off|pcs?|pieces?|of)\b\.?|(?=\s+m\d))"
)
_METRIC_CLASS = re.compile(
    r"(?<![\w./x-])(?<!\dx )(?<!\d x )(?:(?:property\s)?(?:cl|class|gr|grade)\.?\s?)?"
    r"(4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9)"
    r"(?![\w./])(?!\s*(?:x|mm|long))"
)
_DASHED_CLASS = re.compile(r"(?<=\d)\s*-\s*(8\.8|10\.9|12\.9)(?![\w./])")
_NUMBERED = re.compile(r"\b(cl|class|gr|grade|g)\.?\s?(\d{1,2})(?![\w./])")
_STAINLESS = re.compile(r"\ba([1245])(?:\s?[-/]?\s?([578]0))?(?![\w./])")
_HARDNESS = re.compile(r"\b(14|22|33|45)\s?h\b|\b(100|140|200|300)\s?hv\b")
_DRIVE_CODE = re.compile(r"\b(?:(t|tx)-?(\d{1,2})|(ph|pz)-?([0-4]))\b")
_ALLOYS = re.compile(r"\b(18-8|304|316)\b")
_VULGAR = re.compile("[¼½¾⅐-⅞]")


def parse(text: str) -> Reading:
    """Read a fastener. Never raises: what cannot be read comes back in `left`."""
    text, count = _take_count(_tidy(text[:MOST_CHARACTERS]))
    draft = _Draft()
    for take in (_take_standard, _take_grade, _take_words):
        text = take(text, draft)
    _settle_kind(draft)
    found = find_size(text, draft.said["kind"], draft.series)
    draft.left += _loose(found.rest)
    draft.doubts += found.doubts
    if draft.series == "other":
        draft.doubts.append("thread")
    if not found.size or draft.series == "other":
        return _no_size(draft, count)
    draft.said["size"] = found.size
    draft.said.update({k: v for k, v in (("pitch", found.pitch), ("length", found.length)) if v is not None})
    _settle_grade(draft)
    _drop_misfits(draft)
    assumed = [*found.assumed, *_usual_head(draft)]
    try:
        fastener = Fastener(**draft.said)
    except ValueError:
        return _no_size(draft, count)
    return _finished(fastener, draft, assumed, count)


@dataclass(slots=True)
class _Draft:
    """What has been understood so far."""

    said: dict = field(default_factory=dict)
    doubts: list = field(default_factory=list)
    left: list = field(default_factory=list)
    series: str = ""
    weak: str = ""
    implied: Implied | None = None


def _no_size(draft: _Draft, count: int | None) -> Reading:
    """What the words say when there is no size to hang them on: 'ISO 4017' alone is a hexagon bolt."""
    known = {**_fields_of(draft.implied), **draft.said} if draft.said.keys() - {"kind"} else {}
    return Reading(None, tuple(known.items()), (), tuple(draft.doubts), tuple(draft.left), count)


def _finished(fastener: Fastener, draft: _Draft, assumed: list[str], count: int | None) -> Reading:
    given = {name: value for name, value in draft.said.items() if name not in assumed}
    for f in fields(fastener):
        if f.name not in given and f.name not in assumed and getattr(fastener, f.name) not in ("", None, False):
            assumed.append(f.name)
    if any(draft.said.get(name, value) != value for name, value in _fields_of(draft.implied).items()):
        draft.doubts.append("standard")
    return Reading(
        fastener,
        understood=tuple(given.items()),
        assumed=tuple(assumed),
        doubts=tuple(dict.fromkeys(draft.doubts)),
        left=tuple(draft.left),
        count=count,
    )


def _settle_kind(draft: _Draft) -> None:
    draft.implied = implied_by(draft.said.get("standard", ""))
    implied = draft.implied.kind if draft.implied else ""
    draft.said["kind"] = draft.said.get("kind") or implied or "bolt"


def _usual_head(draft: _Draft) -> tuple[str, ...]:
    """A 'bolt' with nothing more said of it has a hexagon head; a 'screw' may have any."""
    said = draft.said
    if said["kind"] != "bolt" or draft.weak != "bolt" or draft.implied or said.get("form") or said.get("drive"):
        return ()
    said["form"] = "hex"
    return ("form",)


def _tidy(text: str) -> str:
    """Plain lower-case letters, one sort of dash, quote and cross; '1½' and '1.1/2' as '1-1/2', '1,25' as '1.25'."""
    text = _VULGAR.sub(lambda m: "-" + unicodedata.normalize("NFKC", m[0]).replace("\u2044", "/"), text)
    text = re.sub(r"(?<!\d)-(?=\d+/\d)", " ", text)
    text = unicodedata.normalize("NFKC", text).lower()
    text = text.translate(str.maketrans("×✕✖*″”“‟‐‑‒–—−\u2044", 'xxxx""""------/')).replace("''", '"')
    text = re.sub(r"[⌀øØ∅]", "", text)
    text = re.sub(r"(?<=\d)\.(?=\d+/\d)", "-", re.sub(r"(?<=\d),(?=\d)", ".", text))
    return re.sub(r"[\s,;()\[\]]+", " ", text).strip()


def _take_count(text: str) -> tuple[str, int | None]:
    match = _COUNT.match(text)
    return (text[match.end() :].strip(), int(match[1])) if match else (text, None)


def _take_standard(text: str, draft: _Draft) -> str:
    match = WRITTEN.search(text)
    if not match:
        return text
    draft.said["standard"] = named(match)
    return text[: match.start()] + " " + text[match.end() :]


def _take_grade(text: str, draft: _Draft) -> str:
    def put(value: str) -> str:
        if draft.said.setdefault("grade", value) != value:
            draft.doubts.append("grade")
        return " "

    def put_drive(m: re.Match) -> str:
        prefix, size = (m[1], m[2]) if m[1] else (m[3], m[4])
        draft.said["drive"] = {"ph": "cross", "pz": "cross Z"}.get(prefix, "six-lobe")
        draft.said["drive_size"] = str(int(size))
        return " "

    text = _ALLOYS.sub(lambda m: put("A4" if m[1] == "316" else "A2"), text)
    text = _DASHED_CLASS.sub(lambda m: put(m[1]), text)
    text = _METRIC_CLASS.sub(lambda m: put(m[1]), text)
    text = _NUMBERED.sub(lambda m: put(f"{'class' if m[1].startswith('c') else 'grade'} {m[2]}"), text)
    text = _STAINLESS.sub(lambda m: put(f"A{m[1]}" + (f"-{m[2]}" if m[2] else "")), text)
    text = _HARDNESS.sub(lambda m: put(f"{m[1]}H" if m[1] else f"{m[2]}HV"), text)
    return _DRIVE_CODE.sub(put_drive, text)


def _take_words(text: str, draft: _Draft) -> str:
    """Fill fields from the phrases in the text, first come first served; a later clash is left over."""

    def take(match: re.Match) -> str:
        phrase = words.phrase_of(match[0])
        if phrase in words.AMBIGUOUS:
            draft.doubts.append(words.AMBIGUOUS[phrase])
        if phrase in words.WEAK_KINDS:
            draft.weak = draft.weak or phrase
        elif not _fill(draft, words.PHRASES[phrase]):
            draft.left.append(match[0].strip())
        return " "

    return words.PATTERN.sub(take, text)


def _fill(draft: _Draft, meaning: dict[str, str]) -> bool:
    """Take up what a phrase means; False where it clashes with what was said before it."""
    if "noise" in meaning:
        return True
    if "series" in meaning:
        draft.series = draft.series or meaning["series"]
        return draft.series == meaning["series"]
    if "left_hand" in meaning:
        draft.said["left_hand"] = True
        return True
    # 'M8 bolt and washer' is a bolt, with a washer left over.
    if meaning.get("kind") in ("nut", "washer") and draft.weak == "bolt" and "kind" not in draft.said:
        return False
    if any(draft.said.get(name, value) != value for name, value in meaning.items()):
        return False
    draft.said.update(meaning)
    return True


def _settle_grade(draft: _Draft) -> None:
    """'Class 8' and 'grade 8' mean different things on a nut, a metric bolt and an inch bolt."""
    word, _, number = draft.said.get("grade", "").partition(" ")
    if word not in ("class", "grade"):
        return
    if not draft.said["size"].startswith("M"):
        draft.said["grade"] = f"grade {number}"
    elif draft.said["kind"] == "nut":
        draft.said["grade"] = f"class {number}"
    else:
        draft.doubts.append("grade")
    if not GRADE.fullmatch(draft.said["grade"]) or "grade" in draft.doubts:
        draft.left.append(draft.said.pop("grade"))


def _drop_misfits(draft: _Draft) -> None:
    """Take out words that this kind of thing does not have, so that they come back as left over."""
    kind = draft.said["kind"]
    for name, values in {"form": FORMS[kind], "locking": LOCKING.get(kind, ())}.items():
        if name in draft.said and draft.said[name] not in values:
            draft.left.append(draft.said.pop(name))
    if kind not in THREADED:
        draft.said.pop("pitch", None)
    if draft.implied and draft.implied.kind != kind:
        draft.left.append(draft.said.pop("standard"))
        draft.doubts.append("standard")
        draft.implied = None


def _fields_of(implied: Implied | None) -> dict[str, str]:
    return {f.name: getattr(implied, f.name) for f in fields(implied) if getattr(implied, f.name)} if implied else {}


def _loose(rest: str) -> list[str]:
    """The words left in the text, without signs that stand alone."""
    return [word for word in rest.split() if re.search(r"\w", word) and word not in ("x", "mm", "in")]
