"""The smallest job file that builds, for tests that need any."""

DISC = """
name = "disc"
stock = { thickness = 6, z_zero = "bed", underlay = 2 }
board = [{ width = 120, depth = 80 }]
tools.mill = { diameter = 3, centre_cutting = true }
cutting.wood = { feed = 1400, plunge = 400, spindle = 18000 }
[[part]]
name = "disc"
shapes.hole.points = [[40, 40]]
operations = [{ kind = "drill", shape = "hole", bottom.from_top = 3 }]
"""
