"""Reading a file back as its controller would: text → Program, sharing no code with the writers."""

from pathkit.readback.interpret import Reading, interpret, verdict

__all__ = ["Reading", "interpret", "verdict"]
