"""The short code on a label: made to be read off a dirty sticker, said aloud and typed.

Alphabet: 0-9 and A-Z without the look-alikes 0 O Q D, 1 I L, 2 Z, 5 S, 8 B, 6 G, U V (one of a pair stays where a
reading of the other can be folded into it), and without the vowels, so that no code spells a word.
The last character is the ISO/IEC 7064 MOD 37,36 check of those before it (python-stdnum). MOD 37,36 can answer
any of 0-9A-Z; payloads are drawn until the check is in the alphabet too, so a code is always typeable.
"""

import re
import secrets
from dataclasses import dataclass

from stdnum.iso7064 import mod_37_36

ALPHABET = "23456789CDFHJKMNPRTVWXY"
LENGTH = 7  # six of payload, one of check: https + a 12 letter host + port still fits symbol 3-H (35 characters)
PATH = "/L/"

# How a look-alike that is not in the alphabet reads: what is printed is the right-hand one.
_READS_AS = str.maketrans({"B": "8", "S": "5", "Z": "2", "G": "6", "U": "V", "O": "D", "0": "D", "Q": "D"})
_IN_ADDRESS = re.compile(r"^https?://([^/\s]+)(?:/[^\s]*)?/L/([^/?#\s]+)/?$", re.IGNORECASE)


def draw(rand=secrets.choice) -> str:
    """A random code of LENGTH characters of ALPHABET that passes its own check."""
    while True:
        payload = "".join(rand(ALPHABET) for _ in range(LENGTH - 1))
        check = mod_37_36.calc_check_digit(payload)
        if check in ALPHABET:
            return payload + check


def tidy(text: str) -> str:
    """What was typed as it would have been printed: upper-case, no spaces or dashes, look-alikes folded."""
    return re.sub(r"[\s\-·.]", "", text).upper().translate(_READS_AS)


def is_code(text: str) -> bool:
    """Whether the text, already tidy, has the shape of a code and passes ISO/IEC 7064 MOD 37,36."""
    return len(text) == LENGTH and all(c in ALPHABET for c in text) and mod_37_36.is_valid(text)


def spaced(code: str) -> str:
    """The code in two groups for the eye and the voice: 7K3 F9CM."""
    return f"{code[:3]} {code[3:]}"


@dataclass(frozen=True)
class Read:
    """What a typed or scanned text holds: the code, and the host it was printed for when it was an address."""

    code: str
    host: str = ""


def read(text: str) -> Read:
    """Take the code out of a typed code or of a whole scanned address, whichever it is."""
    text = text.strip()
    found = _IN_ADDRESS.match(text)
    if found:
        return Read(tidy(found.group(2)), found.group(1).lower())
    return Read(tidy(text))


def near(text: str) -> list[str]:
    """Every good code that differs from the tidy text by one wrong, one missing or one extra character,
    or by two neighbours swapped. The text itself is not among them."""
    tries = set()
    for i in range(len(text) + 1):
        head, tail = text[:i], text[i:]
        if tail:
            tries.add(head + tail[1:])
            tries.update(head + c + tail[1:] for c in ALPHABET)
        if len(tail) > 1:
            tries.add(head + tail[1] + tail[0] + tail[2:])
        tries.update(head + c + tail for c in ALPHABET)
    return sorted(code for code in tries - {text} if is_code(code))
