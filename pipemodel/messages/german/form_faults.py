"""What is wrong with a tube, a tool, an end, a reading or a jig in a job, in German."""

TEMPLATES = {
    "fault.end into": (
        "angeben, worein das Ende geht, etwa fitting: capillary, oder womit es verbunden ist; oder es weglassen"
    ),
    "fault.plain end": (
        "ein glattes Ende geht in nichts: sein fitting nennen, oder 'to', 'depth' und 'centre_to_stop' weglassen"
    ),
    "fault.a tube": "ein Rohr ist eine Größe wie 15 oder '15 x 1.0', oder seine Maße {{outside: 15, wall: 0.7}}",
    "fault.a former": "eine Biegematrize ist der Name von einer, oder ihre Maße, etwa {{radius: 55}}",
    "fault.no bore": (
        "eine Wand von {wall} lässt in einem Rohr von {outside} keinen Hohlraum; sie muss weniger als {half} sein"
    ),
    "fault.springback share": "eine Rückfederung von {share} je Grad; einen Anteil schreiben, etwa 0.05",
    "fault.springback fixed": "eine feste Rückfederung von {fixed} Grad; wenige Grad schreiben, etwa 1.5",
    "fault.mark rim": (
        "ein Anriss, der mit einem Winkel am Rand gesetzt wird, braucht rim: seinen Abstand von der Achse der "
        "Biegematrize"
    ),
    "fault.bender box": (
        "ein Quader hat in einer Richtung keine Dicke: 'from' und 'to' müssen sich in x, y und z unterscheiden"
    ),
    "fault.bender reach": "es ist weiter weg, als ein Biegegerät reicht",
    "fault.bender radius": "ein Biegegerät braucht radius (den seiner Biegematrize) oder like (ein anderes, ähnliches)",
    "fault.a bender": (
        "ein Biegegerät ist der Name von einem, etwa '15 mm hand bender'; oder like, radius, body, lever, guide, "
        "room; oder {{file: benders.yaml, name: mine}}"
    ),
    "fault.which rules": (
        "mit 'set' einen Namen oder mit 'file' eine Datei angeben, welche Regeln gelten; eines von beiden"
    ),
    "fault.celsius": "{value} Grad Celsius; von {least} bis {most} schreiben",
    "fault.hottest": "hottest: {hottest} muss mehr als coldest sein: {coldest}",
    "fault.short text": "einen kurzen Text schreiben, höchstens {longest} Buchstaben und Ziffern",
    "fault.date": "ein Datum als Jahr, Monat und Tag schreiben, etwa 2026-11-25",
    "fault.reading between": (
        "ein Maß geht zwischen zwei `points: [A, B]`, oder von `wall: [A, B]` oder `above: A` zu einem Punkt"
    ),
    "fault.reading to": "`to` nennt den Punkt, der von einer Wand oder über einem Punkt gemessen ist, und gehört dazu",
    "fault.reading tube": "`tube` ist für ein Maß von einer Wand bis zu einem Rohr in seiner Schelle",
    "fault.tape reads": "ein Maßband zeigt mehr als 0, nicht {reads}",
    "fault.reading same": "ein Maß geht zwischen verschiedenen Punkten",
    "fault.bed size": "ein Druckbett von {x} x {y} x {z}; jedes muss von {least} bis {most} sein",
    "fault.revision": "{value} ist kein Stand; bis zu sechs Buchstaben und Ziffern schreiben, etwa A oder 2.1",
    "fault.part": "{value} ist kein Teil eines Stücks; seinen ersten und seinen letzten Bogen schreiben, etwa [2, 4]",
    "fault.part bends": (
        "Bögen {first} bis {last}; den ersten ab 1 schreiben, und den letzten nicht kleiner, etwa [2, 4]"
    ),
    "fault.jig angle": "eine Toleranz von {angle} Grad; 0.05 bis 20 schreiben, etwa 1",
    "fault.layers": "Schichten von {layer} sind zu dick für eine Düse von {nozzle}: höchstens das 0,8-Fache davon",
    "fault.needs runs": "ein Auftrag braucht mindestens eine Leitung; unter runs ihren Namen und ihre Punkte schreiben",
    "fault.offcuts by size": (
        "eine Liste von Resten gilt dem Rohr des Auftrags, und dieser hat keines; sie nach Größe schreiben, {{15:"
        " [1200]}}"
    ),
    "fault.run no tube": "die Leitung {name} hat kein Rohr; für den Auftrag oder für die Leitung tube: 15 schreiben",
    "fault.jig position": (
        "eine Toleranz der Lage von {position} ist mehr, als das Rohr dick ist ({outside}): eine solche Lehre "
        "beurteilte nichts; wenige Millimeter schreiben"
    ),
    "fault.cut by rules": (
        "wo {key} in Balken geschnitten werden darf, sagen Regeln; welche nennen, die es tun, etwa rules: [NHBC 2020]"
    ),
    "fault.former name": "eine Biegematrize mit einer history braucht einen Namen, unter dem ihre Bögen darin stehen",
    "fault.former size": (
        "{former} ist für Rohr von {outside} mm, und dies ist {tube}; eine Biegematrize seiner Größe nennen"
    ),
    "fault.has": "hier steht {given}",
    "fault.has none": "hier steht keines",
    "fault.fitting centre": (
        "die Mitte eines Fittings der Art {kind}: sein centre_to_stop angeben oder bis zur Mündung messen"
    ),
    "fitting.depth": (
        "wie tief ein Rohr von {outside} mm in einen Fitting der Art {kind} geht, steht in keiner Tabelle: seine Tiefe "
        "(depth) angeben"
    ),
    "fitting.run short": "die Leitung ist zwischen ihren Fittings {has} lang, die zusammen {takes} brauchen",
    "fitting.leg short": (
        "der Schenkel am {end|start=Anfang|finish=Ende} ist bis zur Mitte seines Fittings {has} lang, der allein "
        "{takes} braucht"
    ),
    "fault.with learned": "mit dem, was {file} darüber sagt: {why}",
    "fault.no own former": "{file} hat keine Biegematrize {name}; es gibt darin {there}",
    "fault.unknown former": (
        "keine Biegematrize {name}; am nächsten kommen {near}; oder eine eigene angeben: {{radius: ...}}"
    ),
    "fault.radius": (
        "ein Radius von {radius} mm ist bei {tube} nicht möglich: der Radius der Mittellinie muss größer sein als der "
        "halbe Außendurchmesser, {half} mm; es fehlen {missing} mm"
    ),
    "fault.radius small": (
        "ein Radius von {radius} mm ist kleiner, als {tube} zulässt: mindestens {least} mm, es fehlen {missing} "
        "mm{where|upper end= an seinem oberen Ende|itself=}; eine größere Biegematrize nehmen oder allow_tight: "
        "true schreiben"
    ),
    "tube.unknown": "kein Rohr {tube} in den Tabellen{else_}",
    "tube.no copper": "kein Kupferrohr {tube} in den Tabellen; es gibt {there}",
    "tube.several": "Rohr {tube} kann {there} sein: angeben, welches",
    "tube.odd": ": {rest} ist nicht zu verstehen",
    "tube.not understood": (
        "kein Rohr {tube} in den Tabellen{odd}; eine Größe schreibt man als '15', '15 x 1.0', '22 stainless' oder "
        "'1/2 type L'"
    ),
    "tube.no size": "kein Rohr {tube} in den Tabellen: {size} ist keine Größe",
    "tube.same diameter": "; mit diesem Durchmesser gibt es {there}",
    "tube.nearest": "; am nächsten kommen {there}{hint}",
    "tube.in inches": " (bloße Zahlen sind mm; eine Größe in Zoll schreibt man als '1/2 in type L')",
    "clips.none": "für {service} sind keine Schellenabstände bekannt; es gibt sie für {there}",
    "clips.thin": (
        "für {service} im Rohr von {outside} mm ist kein Schellenabstand veröffentlicht (der kleinste ist "
        "{least} mm): einen eigenen angeben"
    ),
    "fault.clips own": "{why}: spacing: {{level: ..., upright: ...}}",
}
