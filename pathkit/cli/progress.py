"""A progress bar for the command line."""

from __future__ import annotations

import sys
from collections.abc import Callable


class Progress:
    """A progress bar on standard error if that is a terminal; silent otherwise."""

    def __init__(self, as_json: bool) -> None:
        self.silent = as_json or sys.stderr is None or not sys.stderr.isatty()

    def __enter__(self) -> Callable[[int, int, str], bool] | None:
        if self.silent:
            return None
        from rich import progress
        from rich.console import Console

        columns = progress.BarColumn(), progress.TextColumn("{task.description}")
        self.bar = progress.Progress(*columns, console=Console(stderr=True), transient=True)
        self.bar.start()
        task = self.bar.add_task("")

        def tell(done: int, total: int, message: str) -> bool:
            self.bar.update(task, completed=done, total=total, description=message)
            return True

        return tell

    def __exit__(self, *_: object) -> None:
        if not self.silent:
            self.bar.stop()
