"""Was über gefundene Wege gesagt wird."""

TEMPLATES = {
    "finding.run": "Weg für {run} wird gesucht",
    "finding.beside": "Suche neben {run}",
    "finding.bends": "Suche mit {n} {n|Bogen|Bögen}",
    "finding.other": "Suche nach einem anderen Weg ({n})",
    "finding.missed": "kein Weg gefunden; gesucht wird, was am wenigsten fehlt",
    "ways.list": "Gefundene Wege",
    "ways.about": "Der beste zuerst, verglichen nach {by}; ein späteres entscheidet nur unter Gleichen.",
    "ways.before the first": (
        "Der Auftrag nimmt Weg 1, den besten der zuerst gefundenen mit den wenigsten Bögen. Weg {n} wurde später "
        "gefunden und ist in diesem Vergleich besser; seine Schritte, an dessen Stelle einzusetzen, gibt route mit "
        "--format yaml aus."
    ),
    "ways.head angles": "Winkel",
    "ways.head spare": "übrig",
    "ways.head nearest": "am nächsten",
    "ways.head pulled": "bieg-\nbar",
    "ways.head gets in": "geht\nhinein",
    "ways.head reach": "uner-\nreichbar",
    "ways.head joints": "Verbin-\ndungen",
    "ways.head cuts": "neue\nSchnitte",
    "ways.head beside": "da-\nneben",
    "ways.head fits": "von 100\npassen",
    "ways.head unsupported": "ohne\nSchelle",
    "ways.angles": "{angles}",
    "ways.chance": "{n}",
    "ways.yes": "ja",
    "ways.no": "geht nicht",
    "ways.line": "Weg {number}: {n} {n|Bogen|Bögen}, Zuschnitt {length}{near}",
    "ways.near": ", {spare} von {against}",
    "ways.title": "Wege für {job}",
    "ways.none": "Kein Weg für {run}: {why}",
    "ways.paste": "Als Schritte, anstelle von find: in den Auftrag einzusetzen",
    "ways.cuts": (
        "Neue Löcher und Ausklinkungen, ebenso unter den Dingen des Raums einzusetzen. "
        "Nichts davon schneiden, bevor zugestimmt hat, wer für das Tragwerk verantwortlich ist:"
    ),
    "ways.stopped": "angehalten, bevor alles geprüft war; das ist bisher das Beste",
    "finding.stopped": "die Suche wurde angehalten, bevor ein Weg gefunden war",
    "finding.no room": (
        "kein Weg gefunden, auch nicht mitten durch alles hindurch: Anfang und Ende liegen für die nötigen Bögen zu "
        "nahe beisammen; mehr Platz geben, eine der Richtungen drehen oder eine Matrize mit kleinerem Radius nennen"
    ),
    "finding.nearest miss": "kein Weg gefunden; der beste Versuch kommt {what} zu nahe, durch {through}",
    "finding.near itself": "kein Weg gefunden; der beste Versuch kommt sich selbst zu nahe, durch {through}",
    "finding.into": "{against} ({by} hinein)",
    "finding.lacking": "{against} (es fehlen {by})",
    "ways.caption": "der beste als Rohr, die anderen gestrichelt und gepunktet, jeder mit seiner Nummer",
    "drawing.ways": "{run}: Wege, {view} gesehen",
    "finding.breaks rules": "kein Weg gefunden, der keine Regel verletzt; frei von allem ist einer durch {through}",
    "finding.void": "eine Seite des Hohlraums",
    "finding.end in": (
        "Leitung {run}: {end|start=ihr Anfang|finish=ihr Ende} liegt in {against}; verschieben, oder {joins} "
        "schreiben, wenn sie dort angeschlossen ist"
    ),
    "finding.end near": (
        "Leitung {run}: {end|start=ihr Anfang|finish=ihr Ende} ist {has} von {against} entfernt, verlangt {asked}; "
        "verschieben, oder {joins} schreiben, wenn sie dort angeschlossen ist"
    ),
    "finding.end walled": (
        "Leitung {run}: vor {end|start=ihrem Anfang|finish=ihrem Ende} liegt {against} nach {has}, ein gerades Stück "
        "und ein Bogen brauchen dort {needs}; um {by} zurücksetzen oder die Richtung drehen"
    ),
    "finding.end out of void": (
        "Leitung {run}: an diesem Ende liegt das Rohr um {by} außerhalb des Hohlraums; den Hohlraum größer wählen oder "
        "das Ende verschieben"
    ),
    "finding.ends cross": (
        "Leitung {run}: Anfang und Ende liegen einander im Weg: ein Rohr mit einem Bogen ist an jedem Ende {straight} "
        "lang gerade; eines davon verschieben oder eine der Richtungen drehen"
    ),
}
