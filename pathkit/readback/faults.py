"""Objections of a controller, or of this reader, to a block: raised inside the reader, reported as findings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from pathkit.machine.grammar import Fault

WORDING: Final[Mapping[Fault, tuple[str, str]]] = {
    "letter expected": ("a word must begin with a letter here", "remove the characters before it"),
    "bad number": ("this word has no number that can be read", "write digits with at most one point, no exponent"),
    "system command": ("a command to the controller's settings, not a block", "take it out of the file"),
    "negative value": ("this word may not be negative", "write a value of 0 or more"),
    "line too long": ("the line is longer than the controller takes", "split the block, or shorten it"),
    "unsupported": ("the controller does not have this", "remove it, or choose the dialect the file was written for"),
    "group twice": ("two codes of one modal group in a block", "put them into two blocks"),
    "no feed": ("a feed move without a feed", "give an F word above 0 first"),
    "not an integer": ("this word needs a whole number", "write it without decimals"),
    "axis conflict": ("two codes claim the axis words of one block", "put them into two blocks"),
    "word twice": ("a word appears twice in a block", "remove one of them"),
    "no axis words": ("this code needs an X, Y or Z word", "add one, even where it repeats the position"),
    "line number": ("a line number that cannot be", "number lines at the front, with small whole numbers"),
    "value missing": ("a word is missing that this code needs", "add it"),
    "offset number": ("there is no work offset of that number", "use the numbers the controller has"),
    "machine coordinates": ("G53 goes only with G0 or G1", "set G0 or G1 in the same block"),
    "axis words left": ("axis words, though G80 ended the motion mode", "set G0, G1, G2 or G3 first"),
    "no axis in plane": ("an arc needs an axis word of its plane", "add X or Y"),
    "arc target": ("the end of the arc does not lie on its circle", "correct the end or the centre"),
    "arc radius": ("the radius is too small to reach the end", "give the centre by I and J"),
    "no arc offset": ("an arc without a centre or a radius", "add I and J, or R"),
    "words left": ("a word that nothing in this block uses", "remove it"),
    "length offset axis": ("a dynamic length offset takes exactly Z", "write G43.1 with Z alone"),
    "tool number": ("a tool number beyond what the controller has", "use a smaller number"),
    "open comment": ("a comment that is not closed", "close it with )"),
    "nested comment": ("a comment inside a comment", "leave out the inner brackets"),
    "no motion mode": ("axis words, but no motion mode has been set", "set G0, G1, G2 or G3 first"),
    "too many M words": ("more M words than a block may have", "put them into two blocks"),
    "arc offset out of plane": ("a centre word that does not lie in the arc's plane", "remove it"),
    "slanting rapid": ("a rapid that moves Z together with X or Y", "write it as two blocks: up first, or down last"),
    "checksum": ("the line's checksum is missing or wrong", "write the line again: it may have been damaged or edited"),
    "program frame": (
        "the file does not end as the controller asks",
        "end it with M2 or M30, or put it between % lines",
    ),
}
"""Fault → what is wrong, and what to do."""


class Refusal(Exception):
    """The controller refuses a block.

    ``at`` indexes the bare block (``raw``: the line itself); ``word`` is the word there.
    """

    def __init__(self, fault: Fault, at: int = 0, word: str = "", *, raw: bool = False) -> None:
        super().__init__(fault)
        self.fault: Fault = fault
        self.at = at
        self.word = word[:24]
        self.raw = raw


class Unread(Exception):
    """The controller would run it, but this reader cannot follow: reported by name, so that nobody takes it for proved.

    ``place``: because the position of the bit is unknown.
    """

    def __init__(
        self, what: str, fix: str = "", at: int = 0, *, check: str = "not interpreted", place: bool = False
    ) -> None:
        super().__init__(what)
        self.what, self.fix, self.at, self.check, self.place = what, fix, at, check, place


class Doubt(NamedTuple):
    """The block does what it says, but that is not certain. ``place``: because the position of the bit is unknown."""

    check: str
    what: str
    place: bool = False
    fix: str = ""
