"""What is said of the room as measured with a tape, in German."""

TEMPLATES = {
    "measured.misread": (
        "das Maß {reading}, {mm}, passt nicht zu den anderen (um {test} Standardabweichungen daneben); "
        "{likely} würde passen: noch einmal messen"
    ),
    "measured.misread one of": (
        "die Maße passen nicht zusammen, eines davon ist falsch; noch einmal messen, und eines mehr: {readings}"
    ),
    "measured.likely": "{reading} {mm} (oder {likely})",
    "measured.unchecked": (
        "nur einmal gemessen und durch kein anderes Maß geprüft: {points}; zu jedem eine Strecke mehr messen, "
        "etwa eine Diagonale"
    ),
    "measured.off square": "Wand {wall} steht um {angle}° nicht im Winkel zu {other}: {off} auf ihren {long}",
    "measured.distance": "{a} bis {b}",
    "measured.square off": "im Winkel von Wand {a} {b} bis {c}",
    "measured.level": "senkrecht von {a} bis {b}",
    "measured.list": "Der Raum, wie gemessen",
    "measured.head point": "Punkt",
    "measured.head within": "Genau auf",
    "measured.head reading": "Maß",
    "measured.head read": "Gelesen",
    "measured.head fits": "Passt als",
    "measured.head checked": "Geprüft",
    "measured.checked yes": "ja",
    "measured.checked by none": "nein",
    "measured.checked doubted": "noch einmal messen",
    "measured.about": (
        "Ein Punkt liegt in 19 von 20 Fällen auf so viel genau, längs der Achse, die am wenigsten sicher ist; was "
        "bekannt ist, hat 0. Ein Maß hat eine Standardabweichung von {sd}, wo keine eigene steht. Geprüft: ob ein "
        "Fehler darin an den anderen Maßen zu sehen wäre."
    ),
}
