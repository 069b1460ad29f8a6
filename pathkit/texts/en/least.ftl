# What a machine must have at least. Lengths and speeds come with their units.

least-travel = room for the bit to move { $across } from left to right, { $away } from front to back and { $up } up
least-rapid = rapid moves of { $level } a minute sideways, { $upright } up and down
least-feed = feeds of { $level } a minute sideways, { $upright } up and down
least-spindle-words = a spindle that the file starts, which turns at { $least } to { $most } rpm
least-spindle-manual = a spindle that you start by hand, which turns at up to { $most } rpm
