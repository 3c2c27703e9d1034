"""The words on the drawings of joists, bays and storeys, in German."""

TEMPLATES = {
    "joists.title": "{joists}: Löcher und Ausklinkungen",
    "joists.size": "{wide} breit, {deep} hoch, {long} lang; die Spannweite ist wie gezeichnet angenommen",
    "joists.caution": (
        "Das Tragwerksbüro fragen, wo ein Loch oder eine Ausklinkung nicht in einer Schraffur liegt, nahe einer "
        "schweren Last, oder in anderem als Vollholz."
    ),
    "joists.zones": (
        "{name}, {clause}: schraffiert, wo gebohrt (Mitte der Höhe) oder ausgeklinkt (Kanten) werden darf"
    ),
    "joists.nothing allowed": "{name}, {clause}: in diesem Balken darf nichts ausgeschnitten werden",
    "joists.no rules": "der Auftrag nennt keine Regeln: wo ein Loch oder eine Ausklinkung sein darf, ist nicht gezeigt",
    "joists.detail": "{whose}: {what|hole=Loch|notch=Ausklinkung}",
    "joists.there": "vorhanden",
    "joists.more": "und {n} weitere, nur am ganzen Balken",
    "bay.title": "Schnitt zwischen {one} und {two}",
    "bay.where": "Schnitt bei {place}",
    "bay.measured": (
        "Maße: frei ab Außenseite des Rohrs (ohne Isolierung) in der Schnittebene; den kleinsten Abstand im Raum "
        "nennen die Befunde"
    ),
    "storey.title": "Grundriss des Geschosses",
    "storey.bay": "Feld {n}",
}
