"""What makers are told before they cut. Common practice, no source; the machine's own manual comes first."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final = (
    "Your machine's manual, the rules of your workshop and people trained on the machine come before this list.",
    "Wear eye and ear protection. Extract the dust at the bit and wear a mask; fine wood dust harms the lungs.",
    "Tie back hair, sleeves and cords. Wear no gloves near a turning bit.",
    "Check the hold-down: neither the board nor a part that comes free may shift, lift or vibrate.",
    "Check the bit: the one that the file needs, sharp, clean, tight in its collet, long enough for the deepest cut.",
    "Set the zero where the file expects it, and check the corner and the directions of X and Y by jogging.",
    "Run the air-cut file first: no bit, spindle off, nothing in its way. Watch that it goes where you expect.",
    "Dust and chips can glow unseen: keep an extinguisher at hand, and look into the dust bag before you leave.",
    "Stay beside the machine while it runs, with a hand near the stop button. Know what that button stops.",
    "If anything sounds, smells or looks wrong, stop first and think afterwards.",
    "Take parts out only when the spindle has stopped. Cut the tabs with the work held down, away from your hand.",
)
"""One sentence or two each, in the order in which they are needed."""
