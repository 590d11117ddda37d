"""Circles of needs: finding one and spelling it out, and an order in which work can be done."""

from collections import deque
from collections.abc import Hashable, Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

T = TypeVar("T", bound=Hashable)


def circle_made_by(task: T, need: T, needs: Mapping[T, Iterable[T]]) -> tuple[T, ...]:
    """The circle that would arise if `task` needed `need`: (task, need, …, task), each needing the next.

    The shortest one there is, so that it can be read out. () when there is none.
    """
    if task == need:
        return (task, task)
    came_from: dict[T, T] = {}
    queue = deque([need])
    while queue:
        here = queue.popleft()
        for deeper in needs.get(here, ()):
            if deeper in came_from or deeper == need:
                continue
            came_from[deeper] = here
            if deeper == task:
                return _walk_back(task, need, came_from)
            queue.append(deeper)
    return ()


def _walk_back(task: T, need: T, came_from: Mapping[T, T]) -> tuple[T, ...]:
    path = [task]
    while path[-1] != need:
        path.append(came_from[path[-1]])
    return (task, *reversed(path))


def find_circle(needs: Mapping[T, Iterable[T]]) -> tuple[T, ...]:
    """Any circle in a whole set of needs: (a, b, …, a), each needing the next. () when there is none."""
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        # graphlib gives it in working order (each comes before the next); ours reads 'a needs b'.
        return tuple(reversed(error.args[1]))
    return ()


def work_order(needs: Mapping[T, Iterable[T]]) -> tuple[T, ...]:
    """Every task after all it needs. Raises graphlib.CycleError."""
    return tuple(TopologicalSorter(needs).static_order())
