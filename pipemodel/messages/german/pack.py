"""What the pack of papers and its full-size pages say around lists and drawings, in German."""

TEMPLATES = {
    "pack.measured from": "{measured_in} Anrisse werden vom Anfang des geraden Rohrs gemessen.",
    "pack.wrong": "Was falsch oder zu prüfen ist",
    "pack.more findings": "und {n} weitere, in der Liste der Befunde",
    "pack.contents": "In dieser Mappe",
    "pack.page": "Seite {page} von {pages}",
    "pack.code": "Kennung",
    "pack.found": "Befund",
    "pack.more rows": "und {n} weitere, alle weiter weg; die JSON-Datei enthält sie",
    # Titles of its sections
    "pack.schedule of": "{run}: Biegeplan",
    "pack.jigs": "Prüflehren",
    "pack.bends": "Bögen, wie gezeichnet",
    "pack.drawings": "Zeichnungen",
    "pack.for fitter": (
        "Für die Ausführung; Zeichnungen jeder Leitung und was gemessen und beurteilt wurde, "
        "stehen in der Planungsmappe job-design.pdf."
    ),
    "pack.for designer": "Für die Planung; Karten, Schnittliste und Schablonen stehen in der Ausführungsmappe job.pdf.",
    "pack.for templates": "Alle Schablonen in wahrer Größe; Karten und Schnittliste stehen in der Mappe job.pdf.",
    "pack.left out": (
        "Nicht dabei: {n} der Schablonen, {pages} {pages|Blatt|Blätter}; \u201epipemodel make --only templates\u201c "
        "schreibt alle, in job-templates.pdf."
    ),
    "pack.templates": "Schablonen, Winkelkarten und Wickelstreifen, wahre Größe",
    # The sheets of a run
    "pack.run": "Leitung: {run}",
    "pack.cut": "Zuschnitt {length}",
    "pack.held changes": "Beachten, welches Ende gehalten wird: es wechselt unterwegs, und jede Karte sagt es.",
    "pack.former changes": "Die Biegematrize wechselt unterwegs: jede Karte sagt, welche einzusetzen ist.",
    "pack.pull": "Biegung {pull}: Bogen {bend} bis {angle}\u00b0 bei {mark}",
    "pack.must be": "Danach muss stimmen:",
    # Full-size pages
    "full size.small": "Winkelkarten und Wickelstreifen, wahre Größe",
    "full size.wraps": (
        "Wickelstreifen: Druckseite außen, Anfang links; Linien längs: Innenseiten der Bögen; "
        "Kante über der Lasche: auf Längslinie"
    ),
    "full size.of many": "Blatt {n} von {all}, Reihe {row}, Spalte {column}",
    "full size.one": "ein Blatt",
    "full size.joins": "stößt an Reihe {row}, Spalte {column}",
    "full size.bars": "beide Balken 100 mm lang, sonst neu mit 100 % drucken",
}
