common-and = { $most } und { $last }
common-or = { $most } oder { $last }
common-range = { $least } bis { $most }

common-about-author = von { $text }
common-about-contact = Rückfragen an { $text }
common-about-revision = Stand { $text }
common-about-date = Datum { $text }
common-about-licence = Lizenz { $text }
common-need = Was Sie brauchen
common-before-cutting = Bevor jemand fräst
