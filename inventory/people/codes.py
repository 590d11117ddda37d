"""One-time codes that a person may have to read off a screen and type: nothing in them looks like anything else."""

import secrets

LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # 32 of them, so each is worth five bits; no 0 O 1 I


def make(length: int) -> str:
    """`length` letters drawn by the system's generator: 5 bits each."""
    return "".join(secrets.choice(LETTERS) for _ in range(length))


def grouped(code: str, size: int = 5) -> str:
    """ABCDE-FGHJK: as it is shown."""
    return "-".join(code[start : start + size] for start in range(0, len(code), size))


def bare(typed: str) -> str:
    """The code in what was typed: capitals, without dashes, blanks or anything else around it."""
    return "".join(letter for letter in typed.upper() if letter in LETTERS)
