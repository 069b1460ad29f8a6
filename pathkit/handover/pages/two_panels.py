"""Two cut files of one board as two pictures to set side by side: of one scale, with one colour for each depth."""

from __future__ import annotations

from collections.abc import Sequence

from pathkit.handover.pages.board_drawing import DepthKey
from pathkit.handover.pages.file_panel import Panel, Scale, box_in_mm
from pathkit.handover.pages.path_data import in_xml, short
from pathkit.handover.pages.seen_file import Seen, summary
from pathkit.texts.language import ENGLISH, Language


def two_panels(
    files: Sequence[Seen], key: DepthKey, room: tuple[float, float], say: Language = ENGLISH
) -> list[tuple[str, tuple[str, ...]]]:
    """An SVG element for each file within ``room`` (width, height) units, and what its caption must add.

    Depths have the colours of ``key``. Pixels of a screen and 96ths of an inch on paper are
    units.
    """
    scale = Scale(box_in_mm(files), *room)
    drawn = []
    for number, one in enumerate(files):
        panel = Panel(one, scale, (0.0, 0.0), key.floors, key.colours, f"panel{number}", say)
        inner, size = panel.svg(), (short(scale.width), short(scale.height))
        told = in_xml(summary([one], say))
        svg = (
            f'<svg class="drawn" viewBox="0 0 {size[0]} {size[1]}" width="{size[0]}" height="{size[1]}" role="img"'
            f' aria-labelledby="panel{number}-text"><title id="panel{number}-text">{told}</title>{inner}</svg>'
        )
        drawn.append((svg, tuple(panel.notes)))
    return drawn
