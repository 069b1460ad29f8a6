"""The texts that a job file to begin from is put together from; `job_file` fills them in.

`starters.ftl` has each of their comments word for word: reword both.
"""

from __future__ import annotations

from typing import Final

TEMPLATE: Final = """\
# A job file: what is cut, from which boards, with which bits, on which machines. It builds as it is: change what is
# yours. Lengths are in mm, feeds in mm/min; "1/4in" and "100in/min" in quotes are taken too.
# What a key means: pathkit schema KEY, as in pathkit schema stepdown.

# What the cut files, sheets and folders are called by.
name = {name}
{language}
[stock]
# What the board is made of: feeds are held against what is usual for it.
material = "{material}"
# How thick the board is, mm. Measure it: plywood is often thinner than it is called.
thickness = {thickness}
# By how much a board may be thicker or thinner and still be cut right, mm.
thickness_tolerance = {tolerance}
# Where the height 0 is: "bed" (under the waste sheet), since cuts go right through; or "top" of the board.
z_zero = "bed"
# A sheet of waste under the board, mm: the bit goes a little into it, and never into the bed.
underlay = {underlay}
# Which way the grain runs, degrees from x: 0 is along the width.
grain = 0

# A size of board. With several [[board]] tables each machine takes the largest that fits its bed.
[[board]]
# From left to right, mm.
width = {width}
# Away from you, mm.
depth = {depth}

# The bit. Its name is your own.
[tools.{bit}]
# How wide it cuts, mm. Measure a resharpened bit.
diameter = {diameter}
# Cutting edges: feeds are reckoned with them.
flutes = {flutes}
# true only for a bit that cuts in the middle of its end: then it may go straight down.
centre_cutting = false
# Length of the flutes, mm. Measure it and take the # away: too deep a cut is then refused.
# cut_length = {flute}

# Feeds and speeds. The manual of your machine and the figures of whoever made your bit come first. These are a
# starting point, reckoned from the usual chips of such a bit: try them on waste, and listen.
{cautions}
[cutting.start]
# Along the cut, mm/min.
feed = {feed}
# Straight down, mm/min.
plunge = {plunge}
# Turns of the spindle, rpm.
spindle = {spindle}

{part}
[layout]
# "fill": as many as fit on one board; or a number, on as many boards as it takes.
copies = {copies}
# Wood that stays between the cuts of two parts, mm.
web = {web}
# What stays free along the edges of the board, mm.
margin = {margin}
# Where all the copies lie on the board: in the "corner" at its zero, or in its "centre".
align = "corner"

[passes]
# Tabs hold each part until you cut them by hand: how many, how wide and how high, mm.
hold_tabs = {{ count = {tabs}, width = {tab_width}, height = {tab_height} }}
# How hard to search for short travel: 1 is usual, 0 takes the first order that is found.
order_travel = {{ effort = 0.2 }}

{machines}"""

LANGUAGE: Final = """\
# What language sheets and pages are in, for whoever receives the files.
language = "{code}"
"""

ZONES: Final = """\
# Two-sided tape under each part, clear of every cut: nothing is clamped.
zones = [{ kind = "tape", shape = "tape" }]
"""

TAG: Final = """\
# A key tag for the keys of the makerspace. It is drawn in its own frame: x to the right, y away from you.
[[part]]
# What the part is called on the sheet.
name = "key tag"
{zones}
[part.shapes]
# The edge: its width and depth, and the radius that rounds its corners, mm.
outline.rectangle = {{ width = {width}, depth = {depth}, radius = {radius} }}
# The hole for the ring: centre and radius, mm.
hole.circle = {{ centre = [{x}, {x}], radius = {hole} }}
# Where the tape is: corner is its front left one.
tape.rectangle = {{ corner = [{tape_x}, {tape_y}], width = {tape_width}, depth = {tape_depth} }}

# What is inside a part is cut before the outline that frees it, whatever the order here.
[[part.operations]]
# What is done: "drill" makes a hole, wider ones round and round. Others: "contour" follows a line, "pocket" clears an
# area; also "slot", "engrave", "chamfer".
kind = "drill"
# Which shape is cut.
shape = "hole"
# How deep: true is right through, {{ from_top = 2 }} would be 2 mm deep. See pathkit schema bottom.
bottom.through = true
# How much deeper at a time, mm.
stepdown = {step}

[[part.operations]]
kind = "contour"
shape = "outline"
# Where the bit runs: "outside" of the part (this frees it), "inside" of an opening, or "on" the line itself.
side = "outside"
bottom.through = true
stepdown = {step}
"""

DRAWN: Final = """\
# The part, as it is drawn: x to the right, y away from you.
[[part]]
# What the part is called on the sheet.
name = "part"
{zones}
[part.shapes]
# The drawing, beside this file. layer = "…" or colour = "…" choose from it; size = [width, depth] is what it must
# measure, mm: write it down, and a drawing in the wrong unit is refused.
outline = {{ svg = {drawing} }}
{tape}
[[part.operations]]
# What is done: "contour" follows a line, "pocket" clears an area; also "slot", "drill", "engrave", "chamfer".
kind = "contour"
# Which shape is cut.
shape = "outline"
# Where the bit runs: "outside" of what is drawn (and inside of the holes in it), "inside", or "on" the line itself.
side = "outside"
# How deep: true is right through, {{ from_top = 2 }} would be 2 mm deep. See pathkit schema bottom.
bottom.through = true
# How much deeper at a time, mm.
stepdown = {step}
"""

DRAWN_TAPE: Final = """\
# Where the tape is, well within the outline: centre and radius, mm.
tape.circle = {{ centre = [{x}, {y}], radius = {radius} }}
"""

MACHINES: Final = """\
# The machines to build for: a profile beside this file (pathkit machine new), or a name (pathkit machines).
"""

TURNED: Final = "    # quarter turns of the board, counter-clockwise: it fits this bed only so"

NO_MACHINE: Final = """\
# No machine that is installed has a bed for this board. Describe yours (pathkit machine new --out mine.toml), then take
# the # away here, or name it with --machine.
# [[machine]]
# profile = "mine.toml"
"""
