# What to do before a file is started that begins in the middle of a job.

resume-where-they-were = Board and zero must be where they were: if the board was moved, or the controller lost its place, set zero again and try the air cut first.
resume-new-bit = A new bit sticks out by another length: set Z again.
resume-air-cut = Run the air cut of the new file first; it starts over the toolpath that you named.
