"""A progress bar in the terminal."""

import sys


class Bar:
    """Call it with bytes done and bytes in all; draws only when a person is watching and the figure has changed."""

    WIDE = 40

    def __init__(self, what: str, out=None):
        self.what, self.out, self.shown = what, out or sys.stderr, -1

    def __call__(self, done: int, total: int) -> None:
        percent = min(100, done * 100 // total) if total else 100
        if percent == self.shown or not self.out.isatty():
            return
        self.shown = percent
        filled = self.WIDE * percent // 100
        end = "\n" if percent == 100 else ""
        self.out.write(f"\r{self.what} [{'█' * filled}{' ' * (self.WIDE - filled)}] {percent:3} %{end}")
        self.out.flush()
