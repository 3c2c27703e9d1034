"""What is said of a room file made of a building model, in German."""

TEMPLATES = {
    "model.things": "{file}: {elements} {elements|Bauteil|Bauteile} ({kinds})",
    "model.same": "{file} ist auf dem neuesten Stand",
    "model.nothing": "{file}: nichts im Modell ist, wonach gefragt wurde",
    "model.box": "{n} {n|Quader|Quader}",
    "model.cone": "{n} {n|Kegel|Kegel}",
    "model.cylinder": "{n} {n|Zylinder|Zylinder}",
    "model.extrusion": "{n} {n|hochgezogener Umriss|hochgezogene Umrisse}",
    "model.plate": "{n} {n|Platte|Platten}",
    "model.pipe": "{n} {n|gebogenes Rohr|gebogene Rohre}",
    "model.mesh": "{n} {n|Fläche|Flächen} aus Dreiecken",
    "model.open": (
        "{n} {n|Fläche schließt|Flächen schließen} sich nicht und {n|hat|haben} kein Inneres; "
        "am Ende der Datei steht, welche"
    ),
    "model.left out": "{n} {n|Bauteil|Bauteile} ausgelassen; am Ende der Datei steht, welche und warum",
    "model.further": "{n} {n|Bauteil|Bauteile} ausgelassen, von jeder Leitung weiter weg",
    "model.moved": (
        "das Modell steht weit von seinem eigenen Nullpunkt und wurde verschoben; "
        "um wie viel, steht am Anfang der Datei"
    ),
    "model.no unit": "das Modell sagt nicht, worin seine Längen stehen; sie wurden für Meter genommen",
}
