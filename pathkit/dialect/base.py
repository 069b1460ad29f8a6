"""What a dialect is: capabilities, a word table, and three hooks that return lines of words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, ClassVar, Literal

from pathkit.dialect.words import Context, Words
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Beam, Coolant, Dwell, Event, Lift, Note, Offset, Pause, Spindle, Stop, ToolChange

Reader = Literal["words"] | Callable[..., Any]


class Dialect:
    """A way of writing programs for one family of controllers. Stateless; most dialects only declare.

    ``capabilities`` is the only source of what the controller takes: legalising, rounding, writing and reading back all
    rely on it. ``words`` is the table of words for motion and events. ``reader`` says how the text is read back:
    ``"words"`` for word addresses judged by ``capabilities.grammar``, or a function of the text for anything else.

    Motion is always written from the table, never by Python code, so that every dialect is fast. Override only
    `prologue`, `epilogue` and `event`; each returns lines of words, which must be plain ASCII. What no table and no
    line can say, `rewrite` may change in the finished text.

    >>> from pathkit_posts.grbl import Grbl
    >>> class Slow(Grbl):
    ...     name = "slow"
    ...     def epilogue(self, context):
    ...         return ["G4 P1", *super().epilogue(context)]
    >>> pk.post(pk.lower(job, machine), machine, dialect=Slow()).text.splitlines()[-3]
    'G4 P1'
    """

    name: ClassVar[str]
    title: ClassVar[str]
    suffix: ClassVar[str] = ".nc"
    capabilities: ClassVar[Capabilities]
    words: ClassVar[Words] = Words()
    reader: ClassVar[Reader] = "words"

    def prologue(self, context: Context) -> Sequence[str]:
        """The lines before the first event: the title, the units in a block of their own, then every other mode."""
        words, caps = self.words, context.capabilities
        modes = (words.modes, words.arc_modes.get(caps.arcs, ""), context.offset if caps.offsets else "")
        lines = [*context.comment(context.title), words.units[caps.units], " ".join(filter(None, modes))]
        lines = [line for line in lines if line]
        if caps.sets_zero:
            lines.append(words.zero)
        return lines

    def epilogue(self, context: Context) -> Sequence[str]:
        """The lines after the last event: spindle and coolant off, the end."""
        words = self.words
        off = (
            words.spindle[0] if context.spindle else "",
            words.coolant["off"] if context.capabilities.coolants else "",
        )
        return [line for line in (" ".join(filter(None, off)), context.capabilities.program_end) if line]

    def rewrite(self, text: str, context: Context) -> str:
        """The finished text of a file as it is to be handed over, line for line: as it is, unless overridden.

        The number of lines and their ends must stay, so that what is said of a line is true of the file. Proofs read
        what this returns, and the air-cut twin is rewritten in the same way.
        """
        del context
        return text

    def event(self, event: Event, context: Context) -> Sequence[str]:
        """The lines of one event, already legal for this controller."""
        words = self.words
        match event:
            case Note(text):
                return context.comment(text)
            case ToolChange(name, number):
                changed = context.capabilities.tool_change == "word" and number is not None
                change = words.change if changed else ""
                named = f"{words.tool}{number}" if number is not None and words.tool else ""
                line = " ".join(filter(None, (named, change)))
                # Both, since people read them: a drawer of bits has the name, a table of tools the number.
                label = f"bit {name}" if number is None else f"bit {name}, number {number}"
                return [*context.comment(label), *([line] if line else [])]
            case Spindle(_, 0):
                return [words.spindle[0]]
            case Spindle(_, sense):
                return [f"{context.speed(event)} {words.spindle[sense]}"]
            case Beam():
                return [context.beam(event)]
            case Coolant(kind):
                return [words.coolant[kind]]
            case Dwell(seconds):
                return [words.dwell + context.seconds(seconds)]
            case Pause(message):
                return [*context.comment(message), words.pause]
            case Lift():
                return [context.lift(event)]
            case Offset() | Stop():
                return []
        raise AssertionError(f"an event of unknown kind: {event!r}")
