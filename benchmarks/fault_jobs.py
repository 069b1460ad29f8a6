"""Three small jobs that use most of the code between a job file and a cut file."""

from __future__ import annotations

_HEAD = """
[tools."4 mm end mill"]
diameter = 4
number = 1
centre_cutting = true
cut_length = 17
shank = 4
[tools."3 mm drill"]
diameter = 3
number = 2
kind = "drill"
[tools."2 mm end mill"]
diameter = 2
number = 3
[cutting.plywood]
feed = 1500
plunge = 400
spindle = 16000
[cutting.slow]
feed = 700
plunge = 250
spindle = 14000
"""

PLATES = f"""
name = "two plates"
[stock]
thickness = 9
z_zero = "bed"
underlay = 3
[[board]]
width = 130
depth = 150
{_HEAD}
[[part]]
name = "plate"
zones = [{{ kind = "tape", shape = "tape" }}]
[part.shapes]
outline.rectangle = {{ width = 90, depth = 50, radius = 8 }}
recess.rectangle = {{ corner = [14, 10], width = 42, depth = 30, radius = 4 }}
slot.line = [[70, 14], [70, 36]]
tape.rectangle = {{ corner = [16, 14], width = 46, depth = 22 }}
[[part.operations]]
kind = "pocket"
shape = "recess"
tool = "4 mm end mill"
cutting = "plywood"
bottom.from_top = 4
stepdown = 2.5
[[part.operations]]
kind = "slot"
shape = "slot"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 3
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 3
[layout]
copies = 2
web = 4
margin = 12
"""

BITS = f"""
name = "three bits"
[stock]
thickness = 6
z_zero = "bed"
underlay = 3
thickness_tolerance = 0.3
[[board]]
width = 110
depth = 80
{_HEAD}
[[part]]
name = "lid"
[part.shapes]
outline.polygon = [[15, 15], [95, 15], [95, 50], [80, 65], [15, 65]]
ring.circle = {{ centre = [40, 40], radius = 12 }}
post.circle = {{ centre = [40, 40], radius = 5 }}
hole.points = [[25, 25], [85, 25], [25, 55]]
bore.circle = {{ centre = [75, 45], radius = 5 }}
[[part.operations]]
kind = "pocket"
shape = "ring"
islands = ["post"]
style = "rings"
tool = "2 mm end mill"
cutting = "slow"
bottom.from_top = 2
stepdown = 1
[[part.operations]]
kind = "drill"
shape = "hole"
tool = "3 mm drill"
cutting = "slow"
bottom.through = true
peck = 2
[[part.operations]]
kind = "drill"
shape = "bore"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 2
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "4 mm end mill"
cutting = "plywood"
direction = "conventional"
lead = 3
bottom.through = true
stepdown = 2
"""

MARKS = f"""
name = "marks"
[stock]
thickness = 6
underlay = 3
[[board]]
width = 100
depth = 70
{_HEAD}
[[part]]
name = "tag"
[part.shapes]
outline.rectangle = {{ corner = [15, 15], width = 70, depth = 40, radius = 6 }}
hole.circle = {{ centre = [25, 35], radius = 3 }}
mark.line = [[40, 25], [60, 25], [60, 45]]
[[part.operations]]
kind = "engrave"
shape = "mark"
tool = "2 mm end mill"
cutting = "slow"
bottom.from_top = 0.6
[[part.operations]]
kind = "contour"
shape = "hole"
side = "inside"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 2
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "4 mm end mill"
cutting = "plywood"
bottom.through = true
stepdown = 2
"""

JOBS: dict[str, tuple[str, str]] = {
    "plates": ("grbl-back-right", PLATES),
    "bits": ("portrait-inch", BITS),
    "marks": ("portrait-inch", MARKS),
}
"""Name → machine and text of the job file. A file with several bits calls for each of them by a word, so that it is
known which bit cuts what."""
