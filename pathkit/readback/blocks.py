"""From words to a block: its codes by modal group, and the value of each other word."""

from __future__ import annotations

from typing import Final

from pathkit.machine.grammar import GROUP_OF, Grammar
from pathkit.readback.faults import Refusal
from pathkit.readback.tokens import Tokenizer, number
from pathkit.tolerances import READ_WHOLE, RELATIVE_ROUNDING

_NEVER_NEGATIVE: Final = frozenset("FNPSTDHQ")
_LARGEST_TOOL: Final = 1e9
_PLAIN: Final = frozenset({"G0", "G1", "G2", "G3"})
_REMEMBERED: Final = 4096  # spellings of codes; a file has few, a hostile one must not fill the memory


class Block:
    """One line's words: ``codes`` modal group → code, ``values`` letter → number as written, ``at`` their indices."""

    __slots__ = ("at", "claim", "codes", "values")

    def __init__(self) -> None:
        self.codes: dict[str, str] = {}
        self.values: dict[str, float] = {}
        self.at: dict[str, int] = {}
        self.claim = ""

    @property
    def axes(self) -> bool:
        """Whether it has an axis word."""
        values = self.values
        return "X" in values or "Y" in values or "Z" in values

    def place(self, word: str) -> int:
        """Index of a letter or code in the bare block; 0 if it is not written."""
        return self.at.get(word, 0)


class BlockReader:
    """Reads bare lines into blocks and refuses what the controller refuses, word by word from the left."""

    def __init__(self, grammar: Grammar, tokens: Tokenizer) -> None:
        self._grammar = grammar
        self._tokens = tokens
        self._spellings: dict[str, tuple[str, str]] = {}

    def read(self, bare: str) -> Block:
        """The block. Raises `Refusal`, or `Unread` for what only the controller can compute."""
        block = Block()
        m_words = 0
        for letter, text, at in self._tokens.words(bare):
            if letter == "G" or letter == "M":
                self._code(block, letter, text, at)
                m_words += letter == "M"
            else:
                self._word(block, letter, text, at)
        if self._grammar.m_words is not None and m_words > self._grammar.m_words:
            raise Refusal("too many M words", 0, bare)
        return block

    def _code(self, block: Block, letter: str, text: str, at: int) -> None:
        spelling = letter + text
        known = self._spellings.get(spelling)
        if known is None:
            known = self._look_up(letter, text, at)
            if len(self._spellings) < _REMEMBERED:
                self._spellings[spelling] = known
        code, group = known
        if self._grammar.beside_motion and self._beside(block, code, group):
            block.at[code] = at
            return
        if code in self._grammar.axis_claims:
            if block.claim:
                raise Refusal("axis conflict", at, spelling)
            block.claim = code
        if group in block.codes:
            raise Refusal("group twice", at, spelling)
        block.codes[group] = code
        block.at[code] = at

    def _beside(self, block: Block, code: str, group: str) -> bool:
        """Take two codes of which one may stand beside a motion code; False if these are not such a pair."""
        beside, motion = self._grammar.beside_motion, block.codes.get("motion", "")
        if code == "G80" and code in beside and motion in _PLAIN:
            return True
        if code in _PLAIN and motion == "G80" and motion in beside:
            # The cycle has ended before, so this is the block's motion.
            block.codes["motion"], block.claim = code, block.claim or code
            return True
        if code in _PLAIN and not motion and block.claim in beside:
            block.codes["motion"] = code
            return True
        if code in beside and group == "non-modal" and block.claim in _PLAIN and group not in block.codes:
            block.codes[group] = block.claim = code
            return True
        return False

    def _look_up(self, letter: str, text: str, at: int) -> tuple[str, str]:
        grammar = self._grammar
        value = number(text, grammar.digits)
        if not -1e6 < value < 1e6:
            raise Refusal("unsupported", at, letter + text)
        whole = int(value)
        part = round(abs(value - whole) * 100)
        exact = abs(abs(value) * 100 - abs(whole) * 100 - part) <= grammar.code_slack * 100 + RELATIVE_ROUNDING
        code = f"{letter}{whole}" + (f".{part:02d}".rstrip("0") if 0 < part < 100 else "")
        if exact and part < 100 and (code in grammar.codes or code in grammar.other_words):
            code = grammar.other_words.get(code, code)
            return code, GROUP_OF[code]
        if (part or not exact) and grammar.dotted is not None:
            known = f"{letter}{whole}" in grammar.codes and whole not in grammar.dotted
            if letter == "M" or known:
                raise Refusal("not an integer", at, letter + text)
        raise Refusal("unsupported", at, letter + text)

    def _word(self, block: Block, letter: str, text: str, at: int) -> None:
        grammar = self._grammar
        if letter not in grammar.letters:
            raise Refusal("unsupported", at, letter + text)
        value = number(text, grammar.digits)
        if letter == "T" and value > (_LARGEST_TOOL if grammar.tool_max is None else grammar.tool_max):
            raise Refusal("tool number", at, letter + text)
        if letter in block.values:
            raise Refusal("word twice", at, letter + text)
        if value < 0.0 and letter in _NEVER_NEGATIVE:
            raise Refusal("negative value", at, letter + text)
        if letter in grammar.whole and abs(value - round(min(value, 1e9))) > READ_WHOLE:
            raise Refusal("not an integer", at, letter + text)
        if letter == "N" and grammar.line_number_first and at > 0:
            raise Refusal("line number", at, letter + text)
        block.values[letter] = value
        block.at[letter] = at
