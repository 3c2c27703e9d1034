"""Was über gefundene Wege gesagt wird."""

FINDING = {
    "finding.run": "Weg für {run} wird gesucht",
    "finding.bends": "Suche mit {n} {n|Bogen|Bögen}",
    "finding.other": "Suche nach einem anderen Weg ({n})",
    "finding.missed": "kein Weg gefunden; gesucht wird, was am wenigsten fehlt",
}
