"""Who knows what typed text may mean. Finding answers here, so that pickers, which stand below it, can ask."""

from collections.abc import Callable

Answer = Callable[[str, str, int], tuple[list[int], list[int]]]
_answers: list[Answer] = []


def answered_by(answer: Answer) -> None:
    """`answer(kind, text, most)`: the numbers of the things of that kind that are meant, the best first;
    and where there are none, of those that come near."""
    _answers[:] = [answer]


def meant(kind: str, text: str, most: int = 20) -> list[int]:
    """The numbers of parts ("part") or places ("place") that may be meant, the best first; none for no text."""
    return meant_or_near(kind, text, most)[0]


def meant_or_near(kind: str, text: str, most: int = 20) -> tuple[list[int], list[int]]:
    """As `meant`; and where nothing is, those that meet all words of the text but one."""
    return _answers[0](kind, text, most) if text.strip() else ([], [])
