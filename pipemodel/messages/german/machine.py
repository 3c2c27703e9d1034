"""Was ein Rechner verweigert oder was ihm fehlt, auf Deutsch."""

TEMPLATES = {
    "refused": (
        "{why|none=gibt es nicht|denied=nicht erlaubt|folder=das ist ein Ordner|no folder=ein Teil des Pfads ist "
        "kein Ordner|full=der Datenträger ist voll|read only=der Datenträger lässt sich nur lesen|there=gibt es "
        "schon|long=der Name ist zu lang|in use=ist schon belegt|broken=Fehler beim Lesen oder Schreiben}"
    ),
    "folder.name": "so wie {name} kann eine Datei nicht überall heißen; nichts wurde geschrieben",
    "folder.same file": (
        "zwei Papiere hätten dieselbe Datei, {first} und {second}; nichts wurde geschrieben. Eine der Leitungen "
        "braucht einen anderen Namen"
    ),
    "folder.link": "{out} ist ein Verweis ins Leere; hier gehört ein Ordner hin",
    "folder.file": "{out} ist eine Datei, kein Ordner; --out kann einen anderen nennen",
    "folder.strange": (
        "in {out} liegt, was nicht von hier ist oder seither geändert wurde: {names}{more}. Nichts wurde "
        "überschrieben; --out kann einen anderen Ordner nennen, oder dies muss weg"
    ),
    "folder.more": " und {n} mehr",
    "folder.beside": "neben {out} lässt sich nichts schreiben: {why}",
    "folder.cannot": "{out} lässt sich nicht schreiben: {why}; nichts wurde geändert",
    "folder.not ours": "{file} ist nicht von hier oder wurde seither geändert; nichts wurde überschrieben",
    "file.unwritten": "{file} lässt sich nicht schreiben: {why}",
    "file.unread": "{file} lässt sich nicht lesen: {why}",
    "history.other": (
        "in {file} steht Bogen {bend} dieses Stücks mit anderen Ablesungen. Ist es ein anderes Stück, dann sagt "
        "--piece 2, welches; wurde neu gemessen, muss erst seine Zeile weg. Nichts wurde geschrieben"
    ),
    "history.there": "{file} gibt es schon; sie gehört mit zu den Dateien, oder das Ergebnis in eine andere",
    "history.left": "{file} bleibt, wie sie war: {why}",
    "history.changed now": "{file} hat eben jemand anders geändert, sie bleibt, wie sie ist; bitte noch einmal",
    "missing.models": "Gebäudemodelle liest ifcopenshell, und das fehlt; pip install 'pipemodel[models]' bringt es",
    "missing.needs": (
        "auf Debian und Ubuntu bringen die Pakete libegl1, libgl1, libgl1-mesa-dri und libxrender1, was dazu fehlt"
    ),
    "missing.library": (
        "{what|meshes=was Netze und STEP liest|step=was STEP liest|kernel=der CAD-Kern} lässt sich nicht laden "
        "({reason}); {needs}"
    ),
    "missing.loading": "eine Bibliothek dafür lässt sich nicht laden ({reason})",
    "missing.no jig": "der Auftrag verlangt keine Lehre; jig: gehört hinein, oder pipemodel jig macht eine",
    "missing.numba": (
        "um einen Weg hinein zu finden, wird die Bibliothek numba gebraucht, und die lässt sich nicht laden "
        "({reason}); pip install numba bringt sie, oder bring in und openings müssen weg"
    ),
    "missing.memory": (
        "der Auftrag braucht mehr Speicher, als dieser Rechner hergibt; was weit weg liegt, weglassen, Netze mit "
        "weniger Dreiecken nehmen oder den Auftrag teilen"
    ),
    "fault.not closed": (
        "die errechnete Biegetabelle ergibt Schenkel oder ein Ende, die {off} mm neben dem Verlangten liegen, und "
        "{within} mm sind erlaubt; das ist ein Fehler von pipemodel, also wird nichts ausgegeben: bitte mit dem "
        "Auftrag melden"
    ),
    "fault.which run": "der Auftrag hat {n} Leitungen; welche ist gemeint: {there}",
    "fault.find written": (
        "diese Leitung ist schon geschrieben; an ihrer Stelle stünde find: {{from, heading, to, arriving}}"
    ),
    "fault.find none": (
        "keine Leitung dieses Auftrags ist zu finden; an ihrer Stelle stünde find: {{from, heading, to, arriving}}"
    ),
    "child.slow": "war nach {seconds} s nicht fertig",
    "child.stopped": "wurde beendet mit {signal}",
    "child.ended": "endete mit Code {code}",
    "child.failed": "{reason}",
    "child.read slow": "{what} lässt sich nicht lesen: das dauert länger als {seconds} s{fewer}",
    "child.read memory": "{what} lässt sich nicht lesen: es braucht mehr als {gb} GB Speicher",
    "child.read died": "{what} ist beschädigt: was sie liest, {how}; bitte neu ausgeben",
    "child.read failed": "{what} lässt sich nicht lesen: was sie liest, versagt ({how})",
    "child.of job": "{file}: der Prozess, der daran rechnete, {how}",
    "picture.driver": "für ein Bild wird OpenGL ohne Bildschirm gebraucht; {needs}",
    "picture.none": "es ließ sich kein Bild zeichnen: {why}",
    "picture.slow": "es {how}, und länger darf ein Bild nicht dauern",
    "picture.died": "was das Bild zeichnet, {how}; {driver}",
    "picture.failed": "{reason}; {driver}",
    "missing.step room": "die STEP-Dateien des Raums lassen sich nicht hineinsetzen: {why}",
    "missing.kernel": "der Kern {how}",
    "refused.answer": "die Antwort",
    "refused.file": "{file}: {why}",
    "folder.there": (
        "{file} gibt es schon; nichts wurde überschrieben. Sie braucht einen anderen Namen, oder die alte muss weg."
    ),
    "calibration.no utf-8": "{file} lässt sich nicht lesen: es ist kein UTF-8",
    "calibration.no such former": (
        "{file} bleibt, wie sie war: kein Auftrag könnte so eine Biegematrize brauchen: {why}"
    ),
    "calibration.layout": "{file} bleibt, wie sie war: ihr Aufbau lässt sich nicht halten; von Hand gehört hinein:",
    "earlier.no schedule": "{file} ist nicht das schedule.json einer früheren Mappe ({format})",
    "earlier.no checks": "{file} daneben ist kein Satz von Prüfungen ({format})",
    "earlier.pipe": "{file} lässt sich nicht bis zum Ende lesen",
    "earlier.large": "{file} ist für eine Mappe zu groß",
    "earlier.no json": "{file} lässt sich nicht als JSON lesen ({why})",
    "earlier.no keys": "{file} gehört zu keiner Mappe: es stehen keine Schlüssel darin",
    "earlier.damaged": "{file} ist beschädigt: {fault}",
    "history.no room": (
        "ihr Aufbau hat am Ende keinen Platz für neue Zeilen; jeder Eintrag muss am Rand mit '- ' beginnen"
    ),
    "earlier.two runs": "es gibt zwei Leitungen {run}",
    "earlier.number": "{where} ist {value} und müsste {right} sein",
    "earlier.no bend": "{where} ist {value}, und so einen Bogen gibt es nicht",
    "earlier.lacks": "{where} hat kein {name}",
    "earlier.cannot be": "{where} kann nicht {value} sein",
    "step.block": "steht als umhüllender Block darin: seine {n} Dreiecke sind zu viele für STEP",
    "step.surface": "steht als Oberfläche darin: seine Dreiecke schließen keinen Körper",
    "step.note": "{thing}: {note}",
    "stl.from": "{file} ist von {place} aus gemessen: STL hat wenige Stellen",
}
