"""A cell that a spreadsheet will show and not run.

A text that begins with = + - @ TAB or CR may be run as a formula when the file is opened (OWASP ASVS 4.0.3, 5.3.10;
OWASP "CSV Injection"). An apostrophe before it stops that; a plain number such as -3 or +1.5 needs none.
"""

import re

DANGEROUS = ("=", "+", "-", "@", "\t", "\r")
_PLAIN_NUMBER = re.compile(r"^[+-]?\d+([.,]\d+)?$")


def neutral(text: str) -> str:
    """`text`, with an apostrophe before it where a spreadsheet would run it."""
    if text.startswith(DANGEROUS) and not _PLAIN_NUMBER.match(text):
        return f"'{text}"
    return text
