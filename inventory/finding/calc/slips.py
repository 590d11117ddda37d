"""One typing slip: a letter too many, too few, wrong, or two neighbours swapped.

Source: F. J. Damerau, 'A technique for computer detection and correction of spelling errors', Communications
of the ACM 7(3), 1964: these four make up more than 80 % of the misspellings he looked at.
"""

SHORTEST = 4  # letters; a slip in a shorter word could be any other word

_LATIN = "abcdefghijklmnopqrstuvwxyz"
_FIGURES = "0123456789"
_CYRILLIC = "".join(map(chr, range(0x430, 0x450)))
_GREEK = "".join(map(chr, range(0x3B1, 0x3CA)))


def distance(a: str, b: str) -> int:
    """How many slips lie between two words, none touching the same letters twice (optimal string alignment).

    Time and memory grow with len(a) * len(b).
    """
    before: list[int] = []
    above = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        row = [i]
        for j, y in enumerate(b, 1):
            cost = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (x != y))
            if i > 1 and j > 1 and x == b[j - 2] and a[i - 2] == y:
                cost = min(cost, before[j - 2] + 1)
            row.append(cost)
        before, above = above, row
    return above[-1]


def edits(word: str) -> list[str]:
    """Every string one slip away from a word, sorted: about 54 n + 25 for n Latin letters.

    They are looked up in the shop's own vocabulary, so the work does not grow with the shop.
    """
    letters = _alphabet(word)
    splits = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    found = {a + b[1:] for a, b in splits if b}
    found |= {a + b[1] + b[0] + b[2:] for a, b in splits if len(b) > 1}
    found |= {a + c + b[1:] for a, b in splits if b for c in letters}
    found |= {a + c + b for a, b in splits for c in letters}
    return sorted(found - {word})


def _alphabet(word: str) -> str:
    letters = ""
    if any(c in _CYRILLIC for c in word):
        letters += _CYRILLIC
    if any(c in _GREEK for c in word):
        letters += _GREEK
    if not letters or any(c in _LATIN for c in word):
        letters += _LATIN
    if any(c in _FIGURES for c in word):
        letters += _FIGURES
    return letters
