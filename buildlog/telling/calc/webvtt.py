"""WebVTT (W3C): written, and read strictly enough to prove what was written.

The grammar is section 4 of the specification: the header line WEBVTT, blank line, cue blocks; a timestamp is mm:ss.ttt
or hh:mm:ss.ttt with two or more digits of hours; an arrow has white space on both sides; a cue ends after it starts and
starts no earlier than the one before; a payload holds no arrow and no blank line. Text in a cue of captions or of
chapters is plain, with & < > written as references (chapter title text, 4.2.3, knows no tags).

Chapters (4.6.2) use only nested cues: of two, one lies within the other or they are apart. The rule as written, "within
or contains", would forbid the specification's own example of two chapters in a row; apart is meant to be allowed.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class NotWebVTT(ValueError):
    """The text is not WebVTT; says where and why."""


@dataclass(frozen=True, slots=True)
class Cue:
    """Milliseconds, and the words."""

    start: int
    end: int
    text: str
    id: str = ""


_STAMP = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})")
_TIMING = re.compile(r"(\S+)[ \t]+-->[ \t]+(\S+)(?:[ \t]+(\S.*))?")
_REFERENCES = {"&amp;": "&", "&lt;": "<", "&gt;": ">"}


def stamp(ms: int) -> str:
    """'00:01:24.000'."""
    seconds, rest = divmod(ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}.{rest:03}"


def read_stamp(text: str) -> int:
    """Milliseconds of a timestamp. Raises NotWebVTT."""
    found = _STAMP.fullmatch(text)
    if not found:
        raise NotWebVTT(f"“{text}” is no timestamp")
    hours, minutes, seconds, rest = found.groups()
    return ((int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)) * 1000 + int(rest)


def escape(text: str) -> str:
    """One payload: lines that hold something, and no mark that means anything."""
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return "\n".join(line.strip() for line in text.split("\n") if line.strip())


def write(cues: Iterable[Cue]) -> str:
    """The file, without a byte order mark. Raises ValueError for a cue that does not end after it starts."""
    blocks, before = [], 0
    for cue in cues:
        if cue.end <= cue.start or cue.start < before:
            raise ValueError(cue)
        before = cue.start
        name = f"{cue.id}\n" if cue.id else ""
        blocks.append(f"{name}{stamp(cue.start)} --> {stamp(cue.end)}\n{escape(cue.text)}\n")
    return "\n".join(["WEBVTT\n", *blocks])


def read(text: str) -> list[Cue]:
    """Every cue of a file. Raises NotWebVTT where a conforming file could not be so."""
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not re.fullmatch(r"WEBVTT(?:[ \t].*)?", lines[0]):
        raise NotWebVTT("the first line is not WEBVTT")
    if len(lines) > 1 and lines[1]:
        raise NotWebVTT("no blank line after the header")
    cues: list[Cue] = []
    for block in re.split(r"\n{2,}", "\n".join(lines[1:]).strip("\n")):
        if not block or re.match(r"NOTE(?:[ \t\n]|$)|STYLE[ \t]*\n|REGION[ \t]*\n", block):
            continue
        cues.append(_cue(block.split("\n"), cues))
    return cues


def _cue(lines: list[str], earlier: Sequence[Cue]) -> Cue:
    name = ""
    if "-->" not in lines[0]:
        name, *lines = lines
    timing = _TIMING.fullmatch(lines[0]) if lines else None
    if not timing:
        raise NotWebVTT(f"no timing in “{name or ''.join(lines[:1])}”")
    start, end = read_stamp(timing.group(1)), read_stamp(timing.group(2))
    if end <= start:
        raise NotWebVTT(f"{timing.group(2)} is not after {timing.group(1)}")
    if earlier and start < earlier[-1].start:
        raise NotWebVTT(f"{timing.group(1)} is before the cue before it")
    if name and any(cue.id == name for cue in earlier):
        raise NotWebVTT(f"two cues are called {name}")
    words = "\n".join(lines[1:])
    if "-->" in words:
        raise NotWebVTT("an arrow in the words")
    return Cue(start, end, words, name)


def check_chapters(cues: Sequence[Cue]) -> None:
    """Raises NotWebVTT where two chapters overlap in part or are the same, or a title is not plain text."""
    for number, cue in enumerate(cues):
        title = cue.text
        for reference in _REFERENCES:
            title = title.replace(reference, "")
        if "<" in title or "&" in title or not cue.text.strip() or "\n" in cue.text:
            raise NotWebVTT(f"“{cue.text}” is no chapter title")
        for other in cues[:number]:
            apart = cue.start >= other.end or other.start >= cue.end
            inside = other.start <= cue.start and cue.end <= other.end
            around = cue.start <= other.start and other.end <= cue.end
            if (cue.start, cue.end) == (other.start, other.end) or not (apart or inside or around):
                raise NotWebVTT(f"“{cue.text}” overlaps “{other.text}” in part")


def unescape(text: str) -> str:
    for reference, mark in reversed(_REFERENCES.items()):
        text = text.replace(reference, mark)
    return text
