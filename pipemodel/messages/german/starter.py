"""The comments of the job that `pipemodel new` writes, in German."""

TEMPLATES = {
    "starter.name": "mein erster Auftrag",
    "starter.opening": (
        "# Ein Auftrag für pipemodel. Was hinter einem # steht, ist für Menschen.\n"
        "#\n"
        "# Längen sind mm oder haben eine Einheit: 60 cm, 0.6 m, 23 5/8 in. Winkel sind Grad.\n"
        "# x geht nach Osten, y nach Norden, z nach oben. Gemessen wird entlang der Rohrmitte, wenn "
        "nichts anderes dasteht.\n"
        "# Namen sind frei; sie kommen in jeder Antwort wieder."
    ),
    "starter.tube": (
        "# Eine Größe aus der Tabelle (siehe: pipemodel tables tubes) oder Maße: {{outside: 15, wall: 0.7}}"
    ),
    "starter.former": (
        "# Die Biegematrize. Ohne Angabe gilt eine übliche für das Rohr. Besser die eigene messen: "
        "ihren Biegeradius bis zur\n"
        "# Rohrmitte, um wie viel das Rohr zurückfedert, wie weit der Anriss vor dem Anfang des Bogens "
        "liegt, und das\n"
        "# gerade Rohr, das sie vor einem Bogen hält und dahinter führt."
    ),
    "starter.own former": "was an springback, hold und guide fehlt, ist das Übliche; 0 schreiben, wo 0 gemeint ist",
    "starter.clearance": "# Verlangt zwischen dem Rohr und allem im Raum.",
    "starter.seen from": (
        "# Die Seite, auf der Sie stehen: left, right, in und out der Leitungen gelten von dort aus."
    ),
    "starter.parameters": (
        "# Maße, die nur an einer Stelle geändert werden; anderswo ${{rise}} oder ${{rise - 40}} schreiben.\n"
        "# Beim Aufruf: pipemodel check JOB.yaml --set rise=500"
    ),
    "starter.room": (
        "# Wovon das Rohr wegbleiben muss. Ein Ding ist box (Quader), cylinder, cone (Kegel), face "
        "(Wand, Boden, Decke),\n"
        "# extrusion (ein Grundriss nach oben gezogen), plate (Platte) oder mesh (eine Datei)."
    ),
    "starter.runs": "# Die Leitungen. Jede geht vom Anfang bis zum Ende; wie, sagen Schritte:",
    "starter.go": "geradeaus bis zur Mitte des nächsten Bogens (oder bis zum Ende)",
    "starter.back": "bis zum Rücken des nächsten Bogens",
    "starter.face": "bis die Außenseite 10 vor der Wand ist",
    "starter.turn": "oder north, south, east, west, down, left, right, in, out",
    "starter.angle": "ein Bogen von 30 Grad nach oben",
    "starter.north": "nach Norden und 600 weiter",
    "starter.set": "zur Seite versetzt mit zwei gleichen Bögen",
    "starter.corners": "# oder nur mit Ecken:",
    "starter.axis": "die Rohrmitte {off} vor der Wand, wie die Schellen sie halten",
    "starter.wall": "Wand",
    "starter.floor": "Boden",
    "starter.pipe": "Abflussrohr",
    "starter.tail": "Anschluss",
}
