"""Was an einem Namen nicht stimmt, oder an dem, was ein Auftrag nennt, auf Deutsch."""

TEMPLATES = {
    "name.none": "{what|job=ein Auftrag|run=eine Leitung|thing=ein Ding|opening=eine Öffnung} braucht einen Namen",
    "name.long": (
        "der Name {what|job=dieses Auftrags|run=dieser Leitung|thing=dieses Dings|opening=dieser Öffnung} hat {n} "
        "Zeichen; höchstens {most} sind erlaubt"
    ),
    "name.expression": (
        "der Name {what|job=eines Auftrags|run=einer Leitung|thing=eines Dings|opening=einer Öffnung} kann keine "
        "Formel sein"
    ),
    "name.control": "im Namen {name} steht ein Steuerzeichen; es muss weg",
    "name.space": "der Name {name} beginnt oder endet mit einem Leerzeichen; es muss weg",
    "name.no file": "so wie {name} kann keine Datei heißen; richtig wäre {better}",
    "name.device": "der Name {name} gehört auf manchen Rechnern einem Gerät; richtig wäre {better}",
    "name.taken": (
        "eine Leitung mit dem Namen {name} hätte dieselbe Datei wie job.step, in der der ganze Auftrag steht; sie "
        "braucht einen anderen Namen"
    ),
    "name.revision": "ein Stand sind wenige Buchstaben oder Ziffern, etwa B, höchstens {most}",
    "name.same file": (
        "die Leitungen {name} und {earlier} hätten dieselbe Datei{why|capitals=, wo Groß und Klein gleich "
        "gilt|same=}; eine braucht einen anderen Namen"
    ),
    "name.as text": "der Name des Auftrags ist ein Text und gehört in Anführungszeichen",
    "fault.a bed": "ein Druckbett sind seine Maße, etwa [220, 220, 250], oder eins von {names}",
    "fault.jig tolerance": (
        "eine Toleranz {key} von {mm}: ein gedruckter Schlitz ist nicht genauer als 0,3, also mindestens 0.3, etwa 3"
    ),
    "fault.jig within": "{key} ist {value}; richtig wäre {low} bis {high}{meant}",
    "fault.jig timber": (
        ": die Seite einer quadratischen Latte, etwa 44; auf einer dünneren haben die zwei Schrauben einer "
        "Auflage, 27 oder mehr auseinander, kein Holz um sich"
    ),
    "fault.criteria": "hier gehört eine Liste hin aus {there}",
    "fault.no criterion": "nach {one} werden Wege nicht verglichen; es gibt {there}",
    "fault.strain": (
        "strain ist {strain}; richtig ist mehr als 0 und weniger als {most}, ab dem Kupfer krumm bleibt: 0.0005 "
        "sind 0,05 %"
    ),
    "fault.bender part": "ein Teil ist eins von box, cylinder, below (alles unter dieser Höhe)",
    "fault.no bender": "kein Biegegerät heißt {name}; es gibt {there}",
    "file.benders": "{file}: in einer Datei von Biegegeräten stehen Namen, unter jedem ein Biegegerät",
    "file.no formers": "in {file} stehen keine Biegematrizen; es gehören Namen hin, unter jedem radius und so weiter",
    "file.former key": (
        "{key|name=name|history=history} der Biegematrize {name} muss weg: {key|name=sein Name steht schon vor "
        "seinen Werten|history=die nennt ein Auftrag}"
    ),
    "file.whole": "die Datei {file}: {said}",
    "file.at line": "{file}, Zeile {line}: {of}{said}",
    "file.of": "{name}: ",
    "file.ending": "{file} ist keine Datei, die hier gelesen werden kann; sie kann enden auf {endings}",
    "fault.holes go": (
        "Löcher in diesem Ding gehen {way|up=auf und ab|thickness=durch seine Dicke}; 'through' muss weg"
    ),
    "fault.hole beside": "die Mitte dieses Lochs liegt neben dem Ding oder in einer Öffnung, die weiter ist",
    "fault.no such kind": "{name}: {kind} kommt in keinen Regeln vor; ein Ding kann sein: {may}",
    "rules.to from": "to {to} muss mehr sein als from {from_}",
    "rules.row twice": (
        "zwei Zeilen sind für Rohr {what|from=ab|bore=bis zu einer lichten Weite von} {size}; nur eine darf bleiben"
    ),
    "rules.runs": "runs ist kein Schlüssel einer Regelsammlung; im Auftrag steht er neben 'file'",
    "rules.none called": "keine Regeln heißen {name}; es gibt {there}",
    "history.not in": "in {file} steht kein Bogen von {of} ({tube}); es gibt {there}",
    "history.former": "Biegematrize {former} mit Rohr {tube}",
    "history.text": (
        "höchstens {most} Buchstaben, Ziffern und Zeichen in einer Zeile, ohne Leerzeichen davor oder danach"
    ),
    "history.quotes": "das ist ein Text und gehört in Anführungszeichen",
    "history.nameless": "hier fehlt ein Name",
    "history.number": "hier gehört eine ganze Zahl von 0 bis {most} hin",
    "history.bend": "ein Bogen hat höchstens 200 Grad und wird nur wenig weiter gezogen",
    "fault.history radius": "ein gemessener Radius braucht radius_sd: wie genau er abgelesen ist (Standardabweichung)",
    "history.turn": "turn und turned gehören zusammen: was verlangt war und was herauskam",
    "file.all": "{said}",
}
