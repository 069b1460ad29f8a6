# Words and measures that several pages share.

common-and = { $most } and { $last }
common-or = { $most } or { $last }
common-range = { $least } to { $most }

# Who made a job. The text behind each comes from its maker.
common-about-author = made by { $text }
common-about-contact = ask { $text }
common-about-revision = revision { $text }
common-about-date = of { $text }
common-about-licence = licence { $text }
common-need = What you need
common-before-cutting = Before anybody cuts
