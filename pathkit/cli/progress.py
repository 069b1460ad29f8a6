"""A progress bar for the command line."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable

from pathkit.cli.spoken import told

AFTER = 1.0
"""Seconds after which a bar is shown: what is done sooner needs none."""


class Progress:
    """A progress bar on standard error if that is a terminal; silent otherwise. It is shown ``after`` so many seconds.

    rich leaves colours out where the environment has NO_COLOR.
    """

    def __init__(self, silent: bool, after: float = 0.0) -> None:
        self.silent = silent or sys.stderr is None or not sys.stderr.isatty()
        self.after = after

    def __enter__(self) -> Callable[[int, int, str], bool] | None:
        if self.silent:
            return None
        from rich import progress
        from rich.console import Console

        columns = progress.BarColumn(), progress.TextColumn("{task.description}", markup=False)
        self.bar = progress.Progress(*columns, console=Console(stderr=True), transient=True)
        # Until something is told, the bar only shows that there is work.
        task = self.bar.add_task("", total=None)
        self.timer = threading.Timer(self.after, self.bar.start)
        self.timer.daemon = True
        if self.after > 0.0:
            self.timer.start()
        else:
            self.bar.start()

        def tell(done: int, total: int, message: str) -> bool:
            self.bar.update(task, completed=done, total=total, description=_in_words(message))
            return True

        return tell

    def __exit__(self, *_: object) -> None:
        if self.silent:
            return
        self.timer.cancel()
        if self.timer.is_alive():
            self.timer.join()
        self.bar.stop()


def _in_words(message: str) -> str:
    """What is done, in the language of the terminal; what stands before it (a file, a machine) stays as it is."""
    whose, between, what = message.rpartition(": ")
    return told(message) if told(message) != message else f"{whose}{between}{told(what)}"
