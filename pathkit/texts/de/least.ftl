least-travel = Verfahrweg des Fräsers: { $across } von links nach rechts, { $away } von vorn nach hinten und { $up } nach oben
least-rapid = Eilgang von { $level } je Minute seitwärts, { $upright } auf und ab
least-feed = Vorschübe von { $level } je Minute seitwärts, { $upright } auf und ab
least-spindle-words = eine Spindel, die von der Datei gestartet wird und mit { $least } bis { $most } U/min dreht
least-spindle-manual = eine Spindel, die Sie von Hand starten und die mit bis zu { $most } U/min dreht
