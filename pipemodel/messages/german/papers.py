"""The fixed words of the papers, and the words of our tables, in German."""

WORDS = {
    "start": "Anfang",
    "finish": "Ende",
    "clockwise": "im Uhrzeigersinn",
    "anticlockwise": "gegen den Uhrzeigersinn",
    "east": "Osten",
    "west": "Westen",
    "north": "Norden",
    "south": "Süden",
    "up": "oben",
    "down": "unten",
    "the east": "Osten",
    "the west": "Westen",
    "the north": "Norden",
    "the south": "Süden",
    "above": "oben",
    "below": "unten",
    "you": "zu Ihnen",
    "towards you": "zu Ihnen hin",
    "away from you": "von Ihnen weg",
    "left": "nach links",
    "right": "nach rechts",
    "hold": "Einspannlänge",
    "guide": "Führungslänge",
    "copper": "Kupfer",
    "carbon steel": "C-Stahl",
    "drawn": "gezogen",
    "annealed": "geglüht",
    "stainless": "Edelstahl",
    "water": "Wasser",
    "water mist": "Wassernebel",
    "gas": "Gas",
    "given in the job": "im Auftrag angegeben",
    "former of the job": "Biegematrize des Auftrags",
    "bender of the job": "Biegegerät des Auftrags",
    "6 mm micro bender": "Kleinbiegegerät 6 mm",
    "8 mm micro bender": "Kleinbiegegerät 8 mm",
    "10 mm micro bender": "Kleinbiegegerät 10 mm",
    "12 mm hand bender": "Handbiegegerät 12 mm",
    "15 mm hand bender": "Handbiegegerät 15 mm",
    "22 mm hand bender": "Handbiegegerät 22 mm",
    "28 mm stand bender": "Standbiegegerät 28 mm",
    "15 mm spring": "Biegefeder 15 mm",
    "22 mm spring": "Biegefeder 22 mm",
}
"""Words of our tables, as `Word` has them."""

PAPERS = {
    **{f"word.{key}": text for key, text in WORDS.items()},
    "units.mm": "Alle Maße in mm und Grad.",
    "units.in": (
        "Alle Längen in Zoll, auf 1/16 gerundet, daneben in Klammern die Dezimalzahl auf 1/100; Winkel in Grad."
    ),
    "point": "x {x}; y {y}; z {z}",
    "bends": "{bends|Bogen|Bögen} {bends}",
    # Tube and former
    "tube.name": "{name}",
    "tube.measures": "{outside} x {wall}",
    "tube.measures, named": "{outside} x {wall} {material}",
    "tube.named": "{size} {material}",
    "former.named": "{former}",
    "former.of radius": "Biegematrize mit Radius {radius} mm",
    "former.words": "{former}: Radius {radius} bis zur Rohrachse{needs}{block}{travel}{most}{generic}",
    "former.needs": "; hält auf {hold}, führt auf {guide}{generic}",
    "former.needs, block": "; hält auf {hold}, führt auf mindestens {guide}{generic}",
    "former.generic figures": " (allgemeine Praxis: {figures})",
    "former.block": " (Gleitstück von {block}: {guides} Grad)",
    "former.guide at": "{guide} bei {angle}",
    "former.travel": " und {travel} mehr, da es bei einer Biegung um 90 mitläuft",
    "former.most": "; bis {most} Grad",
    "former.generic": "; allgemeine Werte, das eigene Gerät ausmessen",
    "spring.further": "um {parts} überbiegen{generic}",
    "spring.none": "keine angegeben: bis zum Winkel selbst biegen{generic}",
    "spring.degree": "{fixed} Grad",
    "spring.degrees": "{fixed} Grad",
    "spring.share": "{share} % des Winkels",
    "spring.generic": " (allgemeine Praxis)",
    "mark.square": ("wo ein am Rand der Biegematrize angelegter Winkel das Rohr trifft, {past} hinter dem Bogenanfang"),
    "mark.at": "am Bogenanfang, von der gehaltenen Seite her",
    "mark.past": "{past} hinter dem Bogenanfang, von der gehaltenen Seite her",
    "mark.short": "{past} vor dem Bogenanfang, von der gehaltenen Seite her",
    # Verdict, cautions
    "verdict.pass": "BESTANDEN{look}",
    "verdict.fail": "NICHT BESTANDEN: {n} {n|Fehler|Fehler}{look}",
    "verdict.look": "; {n} {n|Punkt|Punkte} zu prüfen",
    "caution.offcut": (
        "Zuerst einen Bogen an einem Reststück probieren: Rückfederung und Anriss sind von Biegematrize zu "
        "Biegematrize verschieden."
    ),
    "caution.measure": (
        "Vor dem Zuschneiden jedes Maß auf der Baustelle prüfen. Die Zahlen gelten für das beschriebene Rohr und den "
        "fertigen Radius."
    ),
    "caution.licensed": (
        "Gas, Tragwerk, Elektrik und Heißarbeiten gehören in die Hände zugelassener Fachleute. Örtliche Vorschriften, "
        "Herstelleranleitungen und die Verantwortlichen auf der Baustelle gehen allem vor, was hier steht."
    ),
    "caution.short": (
        "Einen Bogen an einem Reststück probieren und vor dem Zuschneiden jedes Maß auf der Baustelle prüfen. Gas, "
        "Tragwerk, Elektrik, Heißarbeiten: nur zugelassene Fachleute; örtliche Vorschriften gehen vor."
    ),
    "paper.notes": "Hinweise",
    "paper.cautions": "Vorsicht",
    "paper.run": "LEITUNG ",
    # The check
    "check.error": "FEHLER",
    "check.warning": "PRÜFEN",
    "check.note": "HINWEIS",
    "check.along": "{at} entlang der Leitung",
    "check.at": "bei {point}",
    "check.distances": "Kleinste Abstände",
    "check.measured from": "in {unit}, ab Außenseite des Rohrs; die nächsten zuerst",
    "check.head distance": "Abstand",
    "check.head asked": "Soll",
    "check.head along": "ab Anfang",
    "check.head to": "zu",
    "check.joined": "Anschl.",
    "check.more": "und {n} weitere, alle weiter weg",
    # The schedule
    "schedule.head": (
        "{measured_in} Anrisse werden vom Anfang des geraden Rohrs gemessen. Im und gegen den Uhrzeigersinn gelten vom "
        "Anfang aus, mit Blick entlang des Rohrs."
    ),
    "schedule.longer than stock": (
        "Länger als jede Stange, {longest}: in den Stücken der Zuschnittliste (pipemodel cut) zuschneiden und biegen, "
        "jedes mit eigenen Anrissen."
    ),
    "schedule.tube": "Rohr",
    "schedule.cut length": "Zuschnitt",
    "schedule.former": "Biegematrize",
    "schedule.springback": "Rückfederung",
    "schedule.marks": "Anrisse",
    "schedule.straight after": "Gerade danach",
    "schedule.bends": "Bögen",
    "schedule.no bends": "keine: ein gerades Stück",
    "schedule.insulation": "Dämmung",
    "schedule.thick": "{thick} {unit} dick, nach dem Befestigen",
    "schedule.bender": "Biegegerät",
    "schedule.note": "Hinweis: ",
    "schedule.of which": "{length}, davon {parts}",
    "schedule.in fittings": "{length} in den Fittings",
    "schedule.trim": "{length}, die am Ende nach dem Biegen abgeschnitten werden",
    "schedule.as drawn": "Die Bögen wie gezeichnet, vom Anfang an.",
    "schedule.turn of the plane": (
        "Die Verdrehung der Ebene sagt, wie das fertige Stück liegt; im Biegegerät wird das Rohr gedreht, wie es in "
        "der Liste der Biegungen steht."
    ),
    "schedule.head bend": "Bogen",
    "schedule.head straight": "Gerade\ndavor",
    "schedule.head takes": "Bogen\nnimmt",
    "schedule.head angle": "Winkel",
    "schedule.head plane": "Verdrehung der Ebene\nseit dem Bogen davor",
    "schedule.cannot": "SO NICHT ZU BIEGEN:",
    "schedule.in this order": "In dieser Reihenfolge biegen, die genannte Seite im Anschlag gehalten:",
    "schedule.head pull": "Nr.",
    "schedule.head held": "Seite",
    "schedule.head mark": "Anriss",
    "schedule.head pull to": "biegen bis",
    "schedule.head turn": "Rohr vorher drehen",
    "schedule.former and turn": "{put_in}; {roll}",
    "hands.title": (
        "Die Handgriffe. Blick von oben auf das Biegegerät: das gehaltene Ende links, das freie Ende wird zu sich hin "
        "gebogen."
    ),
    "hands.pull": "Biegung {pull}: Bogen {bend}",
    "hands.then": "dann ",
    "clips.title": (
        "Schellen für {service}, höchstens {level} auseinander an waagerechtem und {upright} an senkrechtem Rohr, "
        "entlang des gebogenen Rohrs ab Anfang:"
    ),
    "clips.head clip": "Nr.",
    "clips.head along": "Maß ab\nAnfang",
    "clips.head leg": "Sch.",
    "clips.head where": "Lage auf der Fläche",
    "clips.where": "{face}: {across} {across_from}, {up} {up_from}",
    "clips.nothing holds": "nichts hält es von {low} bis {high}: {reason}",
    # The list of fittings
    "fittings.title": "Fittings",
    "fittings.head fitting": "Fitting",
    "fittings.head tube": "für Rohr",
    "fittings.head count": "Anzahl",
    "fittings.head where": "wo",
    "fittings.at end": (
        "{fitting|elbow=Winkel|tee=T-Stück|capillary=Lötfitting|compression=Klemmverschraubung|press=Pressfitting}"
    ),
    "fittings.coupling": "Lötmuffe",
    "fittings.end": "{run}, {end}",
    "fittings.joint": "{run} bei {at}",
    "fittings.places": "{places}",
    "fittings.counted": (
        "Gezählt ist, worin die Enden der Leitungen laut Auftrag stecken, dazu die Muffen gestoßener Leitungen, die "
        "als Lötmuffen angenommen sind. Ein Fitting, das zwei Leitungen teilen, zählt einmal, wenn ein Ende sagt, dass "
        "es an die andere Leitung anschließt. Was ein Fitting auf seinen anderen Seiten hat, und Übergänge, sind nicht "
        "betrachtet."
    ),
    # The list of runs
    "runs.head cut": "Zuschnitt",
    # The cut list
    "cuts.title": "Zuschnittliste: {job}",
    "cuts.saw": "Die Säge nimmt bei jedem Schnitt {kerf} {unit} weg.",
    "cuts.not possible": "NICHT MÖGLICH: {why}",
    "cuts.jointed": "Leitung {run} wird entlang der Leitung vom Anfang an bei {places} gestoßen.",
    "cuts.joint": (
        "Die Muffe bei {at} wird von {side} gelötet, abgewandt von {other}; die andere Seite ist nicht zugänglich."
    ),
    "cuts.offcut of": "Reststück {length}",
    "cuts.length of": "Stange {length}",
    "cuts.head from": "aus",
    "cuts.head pieces": "Stücke",
    "cuts.head left": "Rest",
    "cuts.best": "{used} Stangenmaterial, {waste} Rest; kein Plan braucht weniger.",
    "cuts.bound": "{used} Stangenmaterial, {waste} Rest; kein Plan kommt mit weniger als {bound} aus.",
}
