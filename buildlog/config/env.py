"""Readers for environment variables. A bad value never raises here: it is kept in PROBLEMS for a system check."""

import os

TRUE = {"1", "true", "yes", "on"}
FALSE = {"0", "false", "no", "off", ""}

PROBLEMS: list[tuple[str, str, str]] = []  # (variable, the value given, what is accepted)


def text(name: str, default: str = "") -> str:
    """The variable's text without outer blanks, or the default when it is unset or empty."""
    return os.environ.get(name, "").strip() or default


def words(name: str) -> list[str]:
    """A comma-separated list; blanks around the commas are forgiven."""
    return [word.strip() for word in text(name).split(",") if word.strip()]


def flag(name: str, default: bool = False) -> bool:
    raw = os.environ.get(name)
    if raw is None:
        return default
    value = raw.strip().lower()
    if value in TRUE:
        return True
    if value not in FALSE:
        PROBLEMS.append((name, raw, "1, true, yes, on or 0, false, no, off"))
        return default
    return False


def number(name: str, default: int, *, low: int, high: int) -> int:
    raw = text(name)
    if not raw:
        return default
    if raw.isdecimal() and low <= int(raw) <= high:
        return int(raw)
    PROBLEMS.append((name, raw, f"a whole number from {low} to {high}"))
    return default
