"""A job file with unlike parts on one board."""

import pytest

BOXES = """
name = "boxes"
[stock]
thickness = 6
underlay = 3
grain = 10
[[board]]
width = 300
depth = 170
[tools."4 mm mill"]
diameter = 4
centre_cutting = true
[cutting.wood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "plate"
quantity = 3
[part.shapes]
outline.rectangle = { width = 80, depth = 50, radius = 8 }
recess.rectangle = { corner = [10, 10], width = 36, depth = 30, radius = 4 }
[[part.operations]]
kind = "pocket"
shape = "recess"
bottom.from_top = 2
[[part.operations]]
kind = "engrave"
number_from = 7
text_at = [52, 20]
text_height = 7
bottom.from_top = 0.5
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
[[part]]
name = "lid"
like = "plate"
quantity = 2
[part.shapes]
recess.circle = { centre = [30, 25], radius = 12 }
[[part.operations]]
kind = "engrave"
texts = ["left", "Right"]
text_at = [46, 20]
text_height = 6
bottom.from_top = 0.5
[[part]]
name = "corner"
at = [12, 14]
turn = 1
[part.shapes]
outline.polygon = [[0, 0], [70, 0], [70, 20], [20, 20], [20, 50], [0, 50]]
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
[layout]
web = 4
margin = 10
[passes]
hold_tabs = { count = 2, width = 6, height = 2 }
"""


@pytest.fixture(scope="session")
def boxes() -> str:
    return BOXES
