"""The fixed words of the papers, in German."""

TEMPLATES = {
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
    "former.needs": "; braucht gerade {hold} zum Halten, {guide} zum Führen{generic}",
    "former.needs, block": "; braucht gerade {hold} zum Halten, mindestens {guide} zum Führen{generic}",
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
    "verdict.pass": "BESTANDEN: wie gezeichnet frei{former}{look}",
    "verdict.former not measured": "; Biegematrize nicht ausgemessen",
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
        "Erst einen Bogen am Reststück biegen, jedes Maß vor Ort prüfen. Gas, Tragwerk, Elektrik, Heißarbeiten: nur "
        "zugelassene Fachleute; örtliche Vorschriften gehen vor."
    ),
    "paper.notes": "Hinweise",
    "paper.cautions": "Vorsicht",
    "paper.run": "LEITUNG ",
    "paper.before": "Vor dem Anfangen",
    "paper.revision": "Revision {revision}",
    # The check
    "check.error": "FEHLER",
    "check.warning": "PRÜFEN",
    "check.note": "HINWEIS",
    "check.along": "{at} entlang der Leitung",
    "check.at": "bei {point}",
    "check.distances": "Kleinste Abstände",
    "check.measured from": "in {unit}, ab Außenseite des Rohrs; die nächsten zuerst",
    "check.head asked": "Soll",
    "check.joined": "Anschl.",
    "check.more": "und {n} weitere, alle weiter weg",
    "paper.far": ("{n} {n|Gegenstand|Gegenstände} mehr als {far} von jeder Leitung entfernt: nicht gezeigt."),
    "findings.none": "Nichts gefunden, soweit geprüft wurde.",
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
    "schedule.head straight": "Gerade\ndavor",
    "schedule.head takes": "Bogen\nnimmt",
    "schedule.head plane": "Verdrehung der Ebene\nseit dem Bogen davor",
    "schedule.cannot": "SO NICHT ZU BIEGEN:",
    "schedule.ways out": "Zu biegen ist es, wenn eines davon anders gezeichnet wird:",
    "schedule.in this order": "In dieser Reihenfolge biegen, an der genannten Seite gehalten:",
    "schedule.head pull": "Nr.",
    "schedule.marks from": (
        "Anrisse vom Anfang aus, jeder für die gehaltene Seite. Im und gegen den Uhrzeigersinn vom Anfang aus gesehen, "
        "mit Blick entlang des Rohrs."
    ),
    "schedule.former and turn": "{put_in}; {roll}",
    "hands.title": (
        "Die Handgriffe. Blick von oben auf das Biegegerät: das gehaltene Ende links, das freie Ende wird zu sich hin "
        "gebogen."
    ),
    "hands.title upright": (
        "Die Handgriffe. Das Biegegerät steht aufrecht vor Ihnen, das Rohr liegt oben quer: das gehaltene Ende links, "
        "das freie Ende wird nach unten gebogen."
    ),
    "hands.pull": "Biegung {pull}: Bogen {bend}",
    "hands.then": "danach: ",
    "setting out.list": "Aufmaß zum Anreißen",
    "setting out.from": (
        "Bis zur Rohrachse; Ecken sind, wo sich die Achsen zweier Schenkel treffen. O-W ab {first}, "
        "N-S ab {second}, Höhe ab {third}."
    ),
    "setting out.face": "Fläche von {thing}",
    "setting out.face behind": "Fläche von {thing} (minus: dahinter)",
    "setting out.top": "Oberseite von {thing}",
    "setting out.underside": "Unterseite von {thing} (minus: darunter)",
    "setting out.zero": "Nullpunkt des Auftrags",
    "setting out.zero along": "Nullpunkt des Auftrags, entlang von {thing}",
    "setting out.bend": "Ecke von Bogen {n}",
    "setting out.clip": "Schelle {n}",
    "setting out.hole": "Loch {n}, {thing}",
    "setting out.what at": "{what|clip=Schelle|hole=Loch} {at}",
    "setting out.more": "{note}; was hier keinen Platz hat, steht in der Liste",
    "setting out.two": "quer ab {across}, Höhen ab {up}; bis zur Rohrachse",
    "setting out.one": "Tiefen ab {deep}",
    "setting out.east-west": "O-W",
    "setting out.north-south": "N-S",
    "holes.list": "Bohrungen und Durchführungen",
    "holes.head least": "mind.\nLoch",
    "holes.head drawn": "Loch\nda",
    "holes.head left": "Luft\nrundum",
    "holes.head with": "ein Loch\nmit",
    "holes.where": (
        "{along} vom {end|west=westlichen|south=südlichen|lower=unteren} Ende, {up} von der "
        "{edge|west=westlichen|south=südlichen|lower=unteren} Kante"
    ),
    "holes.least": (
        "Mitten der Bohrungen, auf halber Dicke. Die kleinste Bohrung steht rechtwinklig zur Fläche und lässt rings um "
        "das Rohr und seine Dämmung den verlangten Abstand."
    ),
    "holes.close": (
        "{thing}: zwischen den Bohrungen von {runs} bleiben {left}, weniger als die größere weit ist: "
        "eine Bohrung für beide, oder eine versetzen."
    ),
    "holes.caution": (
        "Vor dem Bohren: nach Leitungen in Wand oder Decke suchen; über Tragendes entscheidet, wer dafür "
        "verantwortlich ist; Brandschutz und Hülsen nach den örtlichen Regeln."
    ),
    "clips.list": "Schellenliste",
    "clips.title": (
        "Schellen für {service}, höchstens {level} auseinander an waagerechtem und {upright} an senkrechtem Rohr, "
        "entlang des gebogenen Rohrs ab Anfang:"
    ),
    "clips.head along": "Maß ab\nAnfang",
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
    "runs.none works": "keine möglich",
    "runs.head cut": "Zuschnitt",
    # The cut list
    "cuts.title": "Zuschnittliste: {job}",
    "cuts.saw": "Die Säge nimmt bei jedem Schnitt {kerf} weg.",
    "cuts.not possible": "NICHT MÖGLICH: {why}",
    "cuts.jointed": "Leitung {run} wird entlang der Leitung vom Anfang an bei {places} gestoßen.",
    "cuts.joint": (
        "Die Muffe bei {at} wird von {side} gelötet, abgewandt von {other}; die andere Seite ist nicht zugänglich."
    ),
    "cuts.offcut of": "Reststück {length}",
    "cuts.length of": "Stange {length}",
    "cuts.head from": "aus",
    "cuts.best": "{used} Stangenmaterial, {waste} Rest; kein Plan braucht weniger.",
    "cuts.bound": "{used} Stangenmaterial, {waste} Rest; kein Plan kommt mit weniger als {bound} aus.",
}
