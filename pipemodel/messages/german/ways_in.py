"""How a run is brought to its place, in German."""

TEMPLATES = {
    "ways in.found": (
        "Leitung {run} kommt {where} an ihren Platz: der Weg geht durch {n} Stellungen, überall mindestens {least} frei"
    ),
    "ways in.through opening": "durch {opening}",
    "ways in.from open space": "aus dem Freien",
    "reach.joint": "die Verbindung",
    "reach.clip": "Schelle {n}",
    "reach.cut": "der Schnitt in {thing}",
    "reach.arm": (
        "ein {thick} dicker Arm, der {arm} weit von der Öffnung reicht, gerade oder einmal gebeugt, die letzten {hand} "
        "als Hand"
    ),
    "reach.missed": "Leitung {run}: {what} ({where}) ist durch {openings} nicht erreichbar; geprüft wurde {arm}",
    "reach.all": (
        "eine Hand kommt durch {openings} an alle Verbindungen, Schellen und Schnitte ({n} von {all}): {arm}; "
        "Leitungen zählten nicht als im Weg, Brenner und Bohrer nicht als länger als eine Hand"
    ),
    "reach.some": (
        "eine Hand kommt durch {openings} an {n} von {all} Verbindungen, Schellen und Schnitten: {arm}; "
        "Leitungen zählten nicht als im Weg, Brenner und Bohrer nicht als länger als eine Hand; "
        "Ellbogen wurden in einem Raster versucht"
    ),
    "ways in.order": "zuerst {first} einbringen, dann {rest}: jede geht an denen vorbei, die schon da sind",
    "ways in.place too near": (
        "Leitung {run} lässt sich nicht mit {margin} Abstand einbringen: schon an ihrem Platz liegt sie näher an "
        "{thing}; kleineren Abstand verlangen oder die Leitung anders legen"
    ),
    "ways in.outside already": (
        "Leitung {run}: sie liegt schon ganz außerhalb von {opening}; "
        "outside auf der anderen Seite der Öffnung angeben, oder eine andere Öffnung"
    ),
    "ways in.not found": (
        "Leitung {run}: mit {n} geprüften Stellungen wurde kein Weg gefunden, was nicht beweist, dass es keinen gibt; "
        "{where} sind im besten Fall noch {left} davon drinnen; {blocked}; mehr Aufwand, kleinerer Abstand oder ein "
        "anderer Startwert helfen vielleicht"
    ),
    "ways in.not closed": (
        "{said}; durch diese Öffnung allein geht es nicht: {why}; aber dass der Platz sonst überall "
        "geschlossen ist, ist nicht gezeigt"
    ),
    "ways in.stopped": (
        "Leitung {run}: die Suche nach einem Weg wurde nach {n} Stellungen abgebrochen; {where} sind im besten Fall "
        "noch {left} davon drinnen; {blocked}"
    ),
    "ways in.of opening": "hinaus durch {opening}",
    "ways in.of open space": "hinaus ins Freie",
    "ways in.blocked": "am häufigsten hält sie {thing} auf",
    "ways in.not blocked": "nichts hielt sie auf",
    "ways in.only alone": (
        "Leitung {run} kommt nur hinein, solange {other} noch nicht da ist; es fand sich keine Reihenfolge für alle"
    ),
    "ways in.not looked for": "Leitung {run}: kein Weg wurde gesucht, weil die Suche vorher abgebrochen wurde",
}
