"""Files that were made elsewhere: read whoever wrote them, with all that cannot be known said, and nothing guessed."""

from pathkit.readback.elsewhere.whoever import Known, read_as, read_of_moves, read_whoever

__all__ = ["Known", "read_as", "read_of_moves", "read_whoever"]
