"""The dialects that come with pathkit keep the laws that every dialect must keep."""

from __future__ import annotations

from pathkit_posts.csv_moves import CsvMoves
from pathkit_posts.grbl import Grbl
from pathkit_posts.grbl_beam import GrblBeam
from pathkit_posts.grbl_mist import GrblMist
from pathkit_posts.iso6983 import Iso6983
from pathkit_posts.reprap import RepRap
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.testing import DialectTests


class TestGrbl(DialectTests):
    dialect = Grbl()


class TestGrblBeam(DialectTests):
    dialect = GrblBeam()


class TestGrblMist(DialectTests):
    dialect = GrblMist()


class TestIso6983(DialectTests):
    dialect = Iso6983()


class TestRepRap(DialectTests):
    dialect = RepRap()


class TestCsvMoves(DialectTests):
    dialect = CsvMoves()


class TestRs274ngc(DialectTests):
    dialect = Rs274ngc()
