"""Curves in the plan: where they cross, regions that they bound, stretches that are alike."""
