"""Plain text as CommonMark that reads back as exactly that text (CommonMark 0.31.2).

Any ASCII punctuation may be escaped by a backslash (section 2.4). Escaped is only what could mean something where it
stands, so that the file stays readable: `1100.1 mm` and `Hatch, left` stay as they are.
"""

import re

_ANYWHERE = re.compile(r"([\\`*_\[\]<>&~])")
_AT_START = re.compile(r"^(#{1,6}(?=[ \t]|$)|[+-](?=[ \t]|$)|[=-]+[ \t]*$|[+-](?=[+-]))")
_NUMBERED = re.compile(r"^(\d{1,9})([.)])(?=[ \t]|$)")
# Line ends of other kinds, and characters that no XML or HTML may hold.
_ODD = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff\ud800-\udfff]")


def plain(text: str) -> str:
    """Without characters that are none: what is left may stand in XML 1.0, HTML and CommonMark."""
    return _ODD.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n"))


def inline(text: str) -> str:
    """One line of text: whatever it holds, it is text."""
    line = " ".join(plain(text).split())
    line = _ANYWHERE.sub(r"\\\1", line)
    line = _AT_START.sub(lambda match: "\\" + match.group(), line)
    return _NUMBERED.sub(r"\1\\\2", line)


def lines(text: str) -> str:
    """Several lines of one paragraph, each on a line of its own (hard line breaks, section 6.7)."""
    return "\\\n".join(filter(None, map(inline, plain(text).split("\n"))))


def heading(level: int, text: str) -> str:
    """A heading never ends in #, which would be taken for its closing sequence (section 4.2)."""
    words = re.sub(r"(?<= )(#+)$", r"\\\1", inline(text))
    return f"{'#' * level} {words}"


def bullet(text: str) -> str:
    return f"- {inline(text)}"


def image(alt: str, address: str) -> str:
    """`address` is one of ours: no blanks, no brackets."""
    return f"![{inline(alt)}]({address})"
