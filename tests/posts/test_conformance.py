"""The dialects that come with pathkit keep the laws that every dialect must keep."""

from __future__ import annotations

from pathkit_posts.grbl import Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.testing import DialectTests


class TestGrbl(DialectTests):
    dialect = Grbl()


class TestRs274ngc(DialectTests):
    dialect = Rs274ngc()
