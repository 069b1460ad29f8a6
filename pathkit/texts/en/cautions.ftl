# What makers are told before they cut. Common practice, no source; the machine's own manual comes first.
# One sentence or two each, in the order in which they are needed. They must be complete and equally strong in
# every language: nothing is softened, and each defers to manual, rules and qualified people.

cautions-manual = Your machine's manual, the rules of your workshop and people trained on the machine come before this list.
cautions-wear = Wear eye and ear protection. Extract the dust at the bit and wear a mask; fine wood dust harms the lungs.
cautions-loose = Tie back hair, sleeves and cords. Wear no gloves near a turning bit.
cautions-hold = Check the hold-down: neither the board nor a part that comes free may shift, lift or vibrate.
cautions-bit = Check the bit: the one that the file needs, sharp, clean, tight in its collet, long enough for the deepest cut.
cautions-zero = Set the zero where the file expects it, and check the corner and the directions of X and Y by jogging.
cautions-air = Run the air-cut file first: no bit, spindle off, nothing in its way. Watch that it goes where you expect.
cautions-fire = Dust and chips can glow unseen: keep an extinguisher at hand, and look into the dust bag before you leave.
cautions-stay = Stay beside the machine while it runs, with a hand near the stop button. Know what that button stops.
cautions-wrong = If anything sounds, smells or looks wrong, stop first and think afterwards.
cautions-parts = Take parts out only when the spindle has stopped. Cut the tabs with the work held down, away from your hand.

# On the preview, in place of the list above.
cautions-preview-manual = Your machine's manual comes first.
cautions-preview-not-a-proof = This page shows what the file says. It knows nothing of your machine, your clamps, your bit or your board: a
    preview is not a proof of the machine.
cautions-preview-air = Run the air cut first, without a bit and with the spindle off, and stay beside the machine with a hand near the
    stop button.
cautions-preview-rest = What was cut before this file is not shown: its board begins whole.
cautions-beam-eyes = Never look into the beam, or where it meets something that shines. Everybody in the room needs eye protection that is made for this beam's wavelength and power; any other protects nothing.
cautions-beam-enclosure = Run it in an enclosure whose door switches the beam off, and never bridge that switch. Without one, a room that nobody else can enter.
cautions-beam-material = Burn only what you know. Never PVC, vinyl or artificial leather: they give off hydrogen chloride, which harms lungs and machine. Nothing of unknown make, no treated wood, nothing that shines.
cautions-beam-fumes = Lead the fumes outdoors, or through a filter that is made for them: smoke harms the lungs, that of wood too.
cautions-beam-fire = A beam sets things on fire. Never leave it, not even for a moment: keep an extinguisher within reach, and nothing near that burns.
cautions-beam-air = Run the air-cut file first, with the beam locked off. Watch that the head goes where you expect.
cautions-beam-open = Open the enclosure only when the beam is off and the fumes are gone. Look at the work until it is cold: edges glow on.
