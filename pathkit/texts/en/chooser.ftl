# The page on which a stranger finds the file for their machine, without its script (see choose.ftl).

chooser-title = { $title }: find the file for your machine
chooser-say = Say how your machine stands before you, and this page names the one file for it. Job <code>{ $mark }</code>. Nothing that you choose is kept or sent anywhere.
chooser-no-script = This page needs a browser that runs scripts. Without one, ask whoever gave you this folder which file is yours; do not guess.
chooser-for-the-maker = For the maker: all { $count } folders
chooser-as-designed = { $bit } (as designed)
chooser-not-built = it has not been built
chooser-could-not-be-built = it could not be built
