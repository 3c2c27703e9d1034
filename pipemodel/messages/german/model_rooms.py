"""Was in einer Raumdatei steht, die aus einem Modell gemacht ist, und warum etwas fehlt, auf Deutsch."""

TEMPLATES = {
    "odd.thickness": "es hat keine Dicke",
    "odd.coordinate": "eine Koordinate ist keine Zahl",
    "odd.circle": "was es abbildet, bildet sich im Kreis ab",
    "odd.direction": "eine Richtung darin hat keine Länge",
    "odd.outline": "sein Umriss hat keine Fläche",
    "odd.length": "es hat keine Länge",
    "odd.openings": "seine Öffnungen lassen nichts davon übrig",
    "odd.itself": "seine Lage steht auf sich selbst",
    "odd.scale": "es ist im Maßstab 0 abgebildet",
    "odd.squeezed": "es ist flach gedrückt",
    "odd.no face": "keine Fläche daran hat einen Inhalt",
    "odd.flat": "keine Fläche daran hat einen Inhalt, oder es ist flach gedrückt",
    "odd.corner": "eine Fläche nennt eine Ecke, die es nicht gibt",
    "odd.crosses": "sein Umriss kreuzt sich selbst",
    "odd.no body": "es hat keinen Körper",
    "odd.empty": "sein Körper ist leer",
    "odd.cut off": "was es abschneidet, lässt nichts davon übrig",
    "odd.of itself": "ein Teil davon besteht aus sich selbst",
    "odd.cannot be made": "sein Körper lässt sich nicht bilden",
    "odd.part": "ein Teil seines Körpers lässt sich nicht bilden",
    "odd.nothing": "von seinem Körper bleibt nichts übrig",
    "odd.parts": "es hat mehr als {n} Teile",
    "odd.faces": "es hat mehr als {n} Flächen",
    "odd.far": "es reicht weiter als {km} km",
    "odd.unread": "es lässt sich nicht lesen ({error})",
    "room file.made": (
        "Aus {file} ({schema}) von pipemodel room; noch einmal aus demselben Modell geschrieben ist sie dieselbe."
    ),
    "room file.classes": "Verlangt: {classes}, mit allem, was eine Art davon ist.",
    "room file.storeys": "Verlangt: was auf {storeys} steht.",
    "room file.near": "Verlangt: was höchstens {within} neben den Leitungen von {job} liegt.",
    "room file.axes": "Die Achsen sind die des Modells, in mm: x Osten, y Norden und z oben sind sein x, y und z.",
    "room file.north": (
        "Geographisch Nord liegt {deg} Grad {way|clockwise=im|counter=gegen den} Uhrzeigersinn von seinem y; "
        "nichts wurde gedreht."
    ),
    "room file.map": "Auf der Karte liegt sein Nullpunkt bei Ostwert {east} m, Nordwert {north} m, Höhe {height} m.",
    "room file.scale": (
        "Seine Karte nimmt 1 m des Modells für {scale} m, was kaum gemeint ist: Scale soll sagen, was eine "
        "Einheit des Modells in Einheiten der Karte ist; job.ifc hat es, wie es ist."
    ),
    "room file.uneven": "Seine Karte dehnt x, y und z verschieden; job.ifc ist in allen dreien gedehnt wie x.",
    "room file.no map": (
        "Was es von einer Karte sagt, ist weggelassen: ihre Achsen lehnen, oder ein Wert kann nicht sein."
    ),
    "room file.moved": "Es steht weit von seinem Nullpunkt: [{place}] des Modells ist hier [0, 0, 0].",
    "room file.no unit": "Das Modell sagt nicht, worin seine Längen sind; sie gelten als Meter.",
    "room file.hollow": "{n} Rundrohre gelten als gefüllt.",
    "room file.open": "Seine Oberfläche ist nicht geschlossen, es hat also kein Inneres: {element}",
    "room file.bodies": "Aus mehreren Körpern, Bauregeln sehen es also nicht an: {element}",
    "room file.left out": "Weggelassen, {n}:",
    "room file.why": "  {element}: {why}",
    "room file.further": "Weggelassen, weil weiter von jeder Leitung als verlangt: {n}",
    "room file.unnamed": "{kind}ohne Namen{guid}",
}
