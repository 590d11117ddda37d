"""Which answer stands first. One table of cases holds this and its twin in the browser to one order."""

from dataclasses import dataclass

from .fold import pieces, squeeze, words
from .query import Query, Word

FIELDS = ("code", "name", "numbers", "others", "notes", "place", "donor")
WHOLE, START, ALIKE, INSIDE, SLIP = range(5)  # how a word was met, best first
SHORTEST_INSIDE = 3  # letters; shorter ones are met only at the start of a word
GAP = "|"  # stands between two texts of one field, so that no phrase runs from one into the other


@dataclass(frozen=True, slots=True)
class Document:
    """One thing that can be found; each field as `field_text` or `code_text` gives it: ' hatch hinge '.

    `kind` breaks ties (parts before places), `ref` is the id of the row it stands for.
    """

    kind: str
    ref: int
    code: str = " "
    name: str = " "
    numbers: str = " "
    others: str = " "
    notes: str = " "
    place: str = " "
    donor: str = " "


def field_text(*texts: str) -> str:
    """Texts of one field as plain words with a space either side, so that ' pump' is 'begins with pump'."""
    lines = []
    for text in texts:
        found = words(text)
        if found:
            lines.append(" ".join(found))
            lines.extend(pieces(found))
    return f" {f' {GAP} '.join(lines)} " if lines else " "


def joined(*fields: str) -> str:
    """Several field texts as one."""
    return f" {f' {GAP} '.join(text.strip() for text in fields if text.strip())} " if "".join(fields).strip() else " "


def code_text(*texts: str) -> str:
    """Addresses, codes or part numbers: each squeezed, then its words where those differ."""
    lines = []
    for text in texts:
        found, tight = " ".join(words(text)), squeeze(text)
        if tight:
            lines.append(tight)
        if found and found != tight:
            lines.append(found)
    return f" {f' {GAP} '.join(lines)} " if lines else " "


def rank(document: Document, query: Query) -> tuple | None:
    """The place of a document in the answers, smaller first; None where a word is not met at all.

    In order: the least important field any word needed, the loosest way any word was met, whether the code is
    just that or the name begins with the first word, both summed over the words, the length of the code, how
    many words the name has, parts before places, the name, the row.
    """
    texts = tuple(getattr(document, field) for field in FIELDS)
    met = []
    for word in query.words:
        best = _meet(word, texts)
        if best is None:
            met = []
            break
        met.append(best)
    if query.whole:
        tight = _whole(query.whole, texts)
        if tight and (not met or tight < max(met)):
            met = [tight]
    if not met:
        return None
    first = query.words[0].forms[0] if query.words else ""
    return (
        max(field for field, _ in met),
        max(how for _, how in met),
        not (document.name.startswith(f" {first}") or document.code.startswith((f" {first} ", f" {query.whole} "))),
        sum(field for field, _ in met),
        sum(how for _, how in met),
        document.code.count(" "),
        document.name.partition(GAP)[0].count(" "),
        document.kind,
        document.name,
        document.ref,
    )


def _meet(word: Word, texts: tuple[str, ...]) -> tuple[int, int] | None:
    """The best (field, way) in which a document meets one word."""
    for field, text in enumerate(texts):
        if len(text) > 1:
            how = _how(word, text, inside=field > 0)
            if how is not None:
                return field, how
    return None


def _how(word: Word, text: str, inside: bool) -> int | None:
    padded = [" " + form for form in word.forms]
    if any(form + " " in text for form in padded):
        return WHOLE
    if any(form in text for form in padded):
        return START
    if any(f" {other} " in text for other in word.alike):
        return ALIKE
    if inside and any(form in text for form in word.forms if len(form) >= SHORTEST_INSIDE):
        return INSIDE
    if any(f" {slip} " in text for slip in word.slips):
        return SLIP
    return None


def _whole(whole: str, texts: tuple[str, ...]) -> tuple[int, int] | None:
    for field in (0, 2):
        if f" {whole} " in texts[field]:
            return field, WHOLE
        if f" {whole}" in texts[field]:
            return field, START
    return None
