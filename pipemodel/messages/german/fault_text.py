"""What is wrong with the YAML, an expression, a parameter, a room, a plan or a history, in German."""

TEMPLATES = {
    "yaml.colon": (
        "hier ist kein ':' zu erwarten; Text, der einen enthält, in Anführungszeichen setzen, oder die Zeile "
        "so weit einrücken wie die, zu der sie gehört"
    ),
    "yaml.no key": (
        "diese Zeile ist kein 'key: value'; den ':' ergänzen, oder sie so weit einrücken wie den Text darüber"
    ),
    "yaml.bracket open": "davor fehlt ein ',' oder die schließende '{sign}'",
    "yaml.no list": "diese Zeile passt zu keiner Liste darüber; so weit einrücken wie die anderen '-'",
    "yaml.fits nothing": (
        "diese Zeile passt zu nichts darüber; so weit einrücken wie die Schlüssel, zu denen sie gehört"
    ),
    "yaml.dash": "hier ist kein '-' zu erwarten; die Liste auf einer eigenen Zeile beginnen",
    "yaml.value missing": "hier fehlt ein Wert",
    "yaml.quote open": "hier beginnt ein Anführungszeichen, das nirgends endet",
    "yaml.escape": "ein '\\' hat in doppelten Anführungszeichen eine eigene Bedeutung; einfache nehmen",
    "yaml.still open": "vor dieser Zeile ist noch ein Anführungszeichen oder eine Klammer offen",
    "yaml.first key": "diese Zeile passt zu nichts darüber; so weit einrücken wie den ersten Schlüssel",
    "yaml.anchor twice": "dieser &Name kommt zweimal vor",
    "yaml.deep": "zu tief verschachtelt; das braucht kein Auftrag",
    "yaml.tab": "ein Tabulator; mit Leerzeichen einrücken",
    "yaml.mark": "Text, der mit '{mark}' beginnt, muss in Anführungszeichen stehen",
    "yaml.unreadable": "das lässt sich nicht als YAML lesen: {problem}",
    "yaml.in quotes": (
        "das lässt sich nicht als YAML lesen: ein Zeichen hier hat eine eigene Bedeutung; der Text gehört in "
        "Anführungszeichen"
    ),
    "yaml.opened": "{said} (geöffnet in Zeile {line}, Spalte {column})",
    "yaml.second": "hier beginnt ein zweites Dokument; eine Datei enthält einen Auftrag",
    "yaml.digits": "eine Zahl aus {n} Zeichen; {most} sind mehr, als eine Länge braucht",
    "yaml.twice": "{key} kommt zweimal vor (zuerst in Zeile {line}); eines weglassen",
    "yaml.deeper": "mehr als {most} Ebenen tief verschachtelt; das braucht kein Auftrag",
    "yaml.no plain key": "eine Liste oder Gruppe kann kein Schlüssel sein; ein Schlüssel ist reiner Text",
    "yaml.alias of nothing": "*{name} steht für nichts; was es wiederholt, davor mit &{name} kennzeichnen",
    "yaml.alias in itself": "*{name} steht in &{name} und wiederholte sich ohne Ende",
    "yaml.alias as key": "*{name} kann kein Schlüssel sein; ein Schlüssel ist reiner Text",
    "yaml.aliases": "die Verweise dieser Datei wiederholen mehr als {most} Werte",
    "yaml.tag": "die Markierung {tag} gibt es in keinem Auftrag; weglassen",
    "formula.no value": "{call} hat keinen Wert",
    "formula.no root": "{call} hat keinen Wert: eine Zahl unter null hat keine Wurzel",
    "formula.no arc": "{call} hat keinen Wert: es nimmt -1 bis 1",
    "formula.not expected": "{sign} ist nicht zu erwarten in {text}",
    "formula.long": "ein Ausdruck aus {n} Zeichen; höchstens {most} werden gelesen",
    "formula.no place": "{sign} hat keinen Platz in {text}; + - * / ( ) und Namen nehmen",
    "formula.nothing": "zwischen '${{' und '}}' steht nichts",
    "formula.two ways": "{sign} nach '/' lässt sich auf zwei Weisen lesen; in Klammern setzen",
    "formula.by zero": "{text} teilt durch null",
    "formula.deep": "Klammern und Vorzeichen mehr als {most} tief in {text}",
    "formula.power": "{value} hoch {exponent} hat hier keinen Wert",
    "formula.value before": "vor {sign} fehlt ein Wert in {text}",
    "formula.no function": "es gibt keine Funktion {name}; {mend}",
    "formula.use": "es gibt {names}",
    "formula.takes": "{name} nimmt {fewest}{more} Werte; hier bekommt es {n}",
    "formula.to": " bis {most}",
    "formula.is a function": "{name} ist eine Funktion; {name}(...) schreiben",
    "formula.unit": "die Einheit {name} gehört hinter eine Zahl",
    "formula.no parameter": "es gibt keinen Parameter {name}; {mend}",
    "formula.parameters": "die Parameter sind {names}",
    "formula.give it": "ihm unter parameters einen Wert geben",
    "formula.breaks off": "{text} bricht ab; am Ende fehlt ein Wert",
    "formula.bracket": "eine ')' fehlt in {text}",
    "formula.too large": "{text} ergibt eine Zahl, die zu groß ist, um etwas zu bedeuten",
    "formula.not closed": "'${{' ohne seine '}}' in {text}",
    "formula.group": "parameters ist eine Gruppe von Namen und Werten, wie {{drop: 350}}",
    "formula.too many": "{n} Parameter; höchstens {most} werden gelesen",
    "formula.none to set": "es gibt keinen Parameter {name}, der zu setzen wäre; {mend}",
    "formula.none": "der Auftrag hat keine Parameter",
    "formula.from itself": "der Parameter {name} ist aus sich selbst gemacht: {ring}",
    "formula.reserved": "{name} bedeutet in Ausdrücken schon etwas; dem Parameter einen anderen Namen geben",
    "formula.bad name": (
        "der Name eines Parameters besteht aus Buchstaben, Ziffern und _; nicht {name}, sondern {better}"
    ),
    "fault.there is": "es gibt {names}",
    "fault.there is none": "es gibt noch nichts",
    "fault.none called": (
        "es gibt {what|run=keine Leitung|thing=im Raum nichts mit dem Namen|level=keine Höhe|direction=keine Richtung"
        "|wall or floor=keine Wand und keine Decke|wall=im Raum keine Wand|joists=im Raum keine Balkenlage"
        "|opening=keine Öffnung|to join=im Raum nichts und keine andere Leitung mit dem Namen"
        "|measured point=keinen Messpunkt|other wall=keine andere Wand|bends by=hier keinen Bogen von} {name}; {mend}"
    ),
    "fault.named twice": "{name} gibt es schon; einmal nennen, oder eines umbenennen",
    "fault.itself": "eine Leitung {what|join=mündet nicht in sich|beside=liegt nicht neben sich} selbst; andere nennen",
    "room.no way for sleeve": "die Hülse kann nicht durch {thing} gehen: {why}",
    "room.sleeve beside": "die Mitte dieser Hülse liegt neben {thing} oder in einer Öffnung davon",
    "room.sleeve short": "die Hülse ist {long} lang, {thing} {thick} dick; ohne Länge (length) schließt sie bündig ab",
    "room.file lacks": "eine Raumdatei ist eine Gruppe von Schlüsseln, darunter room, ihre Dinge nach Namen",
    "file.outside": (
        "{file} liegt außerhalb des Ordners des Auftrags; neben den Auftrag kopieren oder mit --allow-outside erlauben"
    ),
    "file.pipe": "{file} ist eine Pipe oder ein Gerät; eine gewöhnliche Datei angeben",
    "file.none": "eine Datei {file} gibt es nicht; der Pfad beginnt im Ordner dieser Datei",
    "file.folder": "{file} ist ein Ordner; eine Datei angeben",
    "file.unreadable": "die Datei {file} kann nicht gelesen werden: {reason}",
    "fault.room file twice": (
        "{thing} steht zweimal im Raum, da seine Datei das tut; einer einen Namen geben: {{file: ..., called: ost}}"
    ),
    "room.thing twice": "ein Ding {thing} gibt es schon ({file}, Zeile {line}); eines umbenennen",
    "room.file in itself": "die Raumdatei {file} würde sich selbst enthalten ({ring}); weglassen",
    "room.files": "mehr als {most} Raumdateien; zusammenlegen, was zusammengehört",
    "room.files large": "die Raumdateien bis {file} haben mehr als {most} MB; weglassen, was weit weg ist",
    "room.no face for clip": "{thing} hat keine ebene Fläche für eine Schelle; face, box oder extrusion nennen",
    "room.no face before": "{thing} hat nicht genau eine lotrechte Fläche, vor der diese Leitung beginnt",
    "room.start within": "der Anfang liegt, wo er gezeichnet ist; within unter finish schreiben",
    "plan.gap": "das lässt {left} zwischen den Rohren; Abstand und Dämmung brauchen {least}: gap: {gap} oder mehr",
    "hands.by": "by sagt, wessen Stücke einer Datei gelten; unter hands auch file angeben",
    "hands.worst": "{value} {unit|mm=mm|degrees=Grad} liegt keine Hand daneben; höchstens {limit} schreiben",
    "measured.no name": "Punkte heißen nach Buchstaben, Ziffern und _, die sonst nichts bedeuten: nicht {name}",
    "measured.not tied": "{point} ist lose: {axes} brauchen {n} Messungen zu schon gefundenen Punkten, es gibt {own}",
    "measured.two places": "der Punkt {point} kann bei {at} liegen; bei welchem, sagt side: {side}",
    "measured.open": "die Messungen zeigen {axis} von {point} nicht; noch einmal messen, von einer anderen Seite",
    "measured.no rest": "diese Messungen passen nicht zusammen; eine suchen, die weit daneben liegt",
    "measured.no place": "Messungen zu {point} treffen sich nicht ({read}), um {off}: neu messen, die längste zuerst",
    "measured.wall": "die Punkte der Wand {wall} stehen übereinander",
    "history.broken": "{said}; jeder Eintrag steht ganz auf einer Zeile: ergänzen, was fehlt, oder sie herausnehmen",
    "history.no list": "ein Verlauf ist eine Liste von Einträgen, je Zeile einer hinter einem Strich; das ist keiner",
    "history.changed": "der Eintrag passt nicht zu seiner id {id}: zurückändern, oder die id herausnehmen",
    "history.mark left": "ein Zeichen zweier vereinter Fassungen; herausnehmen, die Einträge beider Seiten behalten",
    "history.no file": "eine Datei {file} gibt es nicht; weglassen, bis pipemodel learn sie angelegt hat",
    "history.in file": "{file}, Zeile {line}, Spalte {column}: {said}",
    "kept.nothing": "diese Kontrollen legen für sich keinen Bogen fest; mehr von jeder Karte messen",
}
