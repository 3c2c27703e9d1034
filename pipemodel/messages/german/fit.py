"""How likely a run is to fit, in German."""

TEMPLATES = {
    "fit.lands": (
        "Leitung {run}: gebogen von Händen, wie der Auftrag sie nennt, liegt das Ende in 19 von 20 Fällen höchstens "
        "{sideways} seitlich und {along} längs des letzten Schenkels neben der Zeichnung; {share} passen, {within}; "
        "{most}{reading}{joints}{tail}{plan}"
    ),
    "fit.as drawn": (
        "Leitung {run}: nichts daran biegen Hände, die sich irren, also liegt das Ende, wo es gezeichnet ist"
    ),
    "fit.within": "auf {sideways} seitlich und {along} längs{assumed}",
    "fit.within and trim": "auf {sideways} seitlich, mit {trim} zum Abschneiden an Ort und Stelle{assumed}",
    "fit.assumed": " (übliche Praxis; im Auftrag beim Ende der Leitung vorzugeben)",
    "fit.share": "etwa {n} von 100 Stücken",
    "fit.of tried": "{hits} von {n} versuchten Stücken",
    "fit.nearly all": "mehr als 99 von 100 Stücken",
    "fit.nearly none": "weniger als 1 von 100 Stücken",
    "fit.source": "{what|mark=der Anriss von|angle=der Winkel von|turn=das Drehen vor} Bogen {bend}",
    "fit.room": "wie genau der Raum gemessen ist",
    "fit.most": "{what} zählt am meisten",
    "fit.reading": "; von allen Prüfmaßen bringt am meisten das {which}",
    "fit.joints": "; an {n} {n|Muffe|Muffen} ist so gedreht, dass das Ende möglichst gut liegt",
    "fit.after pull of piece": "nach Biegung {pull} von Stück {piece}: {how}",
    "fit.and tail": "; {tail}",
    "fit.leave": "das Ende {long} länger lassen und erst am gebogenen, angehaltenen Stück abschneiden: {share} passen",
    "fit.leave start": (
        "{end|start=den Anfang|both=beide Enden} {long} länger lassen, jeden Anriss so viel weiter vom Anfang, und "
        "erst am gebogenen, angehaltenen Stück abschneiden: {share} passen"
    ),
    "fit.and plan": "; {plan}",
    "fit.by plan": "in der genauesten Reihenfolge gebogen, passen {share}",
    "fit.after pull": "nach Biegung {pull}: {how}",
    "fit.touches": "Leitung {run}: {share} berühren {against}, laut Zeichnung {near} entfernt ({n} Stücke versucht)",
    "fit.touched": "{against}: {share}",
    "fit.row": "{items}",
    "fit.label chance": "Aussicht",
    "fit.label lands": "Ende liegt",
    "fit.label matters": "Hauptfehler",
    "fit.label touches": "berührt",
    "fit.label tail": "länger lassen",
    "fit.label plan": "andere Folge",
    "fit.label check": "bestes Prüfmaß",
    "fit.fits": "{share} passen, {within}",
    "fit.19 in 20": "höchstens {sideways} seitlich und {along} längs daneben, in 19 von 20 Fällen",
    "fit.part": "{what}: {n} % der Streuung",
    "fit.touches nothing": "nichts, bei {n} versuchten Stücken",
    "fit.check gains": "{which}; danach berichtigt, streut das Ende noch {n} % so weit",
    "fit.not linear": (
        "Leitung {run}: bei so großen Fehlern folgt ihnen das Ende nicht mehr im Verhältnis; es gelten die Zahlen von "
        "{n} simulierten Stücken, die Kovarianz ist eine erste Schätzung"
    ),
    "fit.list": "Wie wahrscheinlich es passt",
    "fit.more": "mit Händen, wie der Auftrag sie nennt, Anfang und erster Schenkel wie gezeichnet",
}
