"""Rules of building, in German."""

TEMPLATES = {
    "rules.clause": "{name}, {clause}",
    "rules.from memory": "{rule} (aus dem Gedächtnis)",
    "rules.set": "{name} ({source})",
    "rules.too near": "Leitung {run} ist {near} von {thing} ({kind}) entfernt, {where}: {rule} verlangt {asked}",
    "rules.too near, unless": (
        "Leitung {run} ist {near} von {thing} ({kind}) entfernt, {where}: {rule} verlangt {asked} oder eine "
        "Isolierung dazwischen"
    ),
    "rules.cut": "Leitung {run} braucht {what|hole=ein Loch|notch=eine Ausklinkung} in {joist}, was {rule} nicht "
    "zulässt: {wrong}",
    "rules.drilled": "in {joist} ist {what|hole=ein Loch|notch=eine Ausklinkung}, was {rule} nicht zulässt: {wrong}",
    "rules.hole": "{what|hole=das Loch|notch=die Ausklinkung} bei {at}",
    "rules.wide": "Breite {wide}, höchstens {most}",
    "rules.off the middle": "die Mitte liegt {off} {side|above=über|below=unter} der Mitte der Höhe",
    "rules.zone": "{at} vom näheren Auflager, zulässig {low} bis {high} bei einer Spannweite von {span}",
    "rules.notch deep": "Tiefe {deep}, höchstens {most}",
    "rules.both sides": "ausgeklinkt werden darf oben oder unten, nicht beides",
    "rules.top only": "nur die Oberkante darf ausgeklinkt werden",
    "rules.too close": (
        "in {joist} liegen die Ausschnitte für {one} und für {two} {apart} auseinander, {rule} verlangt {least}"
    ),
    "rules.never": "{rule} lässt in {joist} keinen Ausschnitt zu: {why}; das Tragwerksbüro fragen",
    "rules.new hole": (
        "der gefundene Weg für {run} braucht ein neues Loch in {joists}, Durchmesser {wide}, Mitte {at} vom "
        "näheren Ende und {down} unter der Oberkante; nicht bohren, bevor zugestimmt hat, wer für das Tragwerk "
        "verantwortlich ist"
    ),
    "rules.new notch": (
        "der gefundene Weg für {run} braucht eine neue Ausklinkung oben in {joists}, {wide} breit und {deep} tief, "
        "Mitte {at} vom näheren Ende; nicht schneiden, bevor zugestimmt hat, wer für das Tragwerk verantwortlich ist"
    ),
    "rules.row": "{row} {first} bis {last}",
    "rules.joists": "{joists}",
    "rules.joists, more": "{joists} und {n} weiteren",
    "rules.by kind": "{kind}",
    "rules.shallow": "Höhe {deep}, bis {least} darf nichts ausgeschnitten werden",
    "rules.deep": "Höhe {deep}, die Regel reicht bis {most}",
    "rules.chase": (
        "Leitung {run} liegt {deep} tief in {thing} in einem {way|upright=senkrechten|level=waagerechten} Schlitz, "
        "{where}: {rule} erlaubt {most} bei einer Dicke von {thick}"
    ),
    "rules.hidden joint": (
        "die Verbindung der Leitung {run} {where} ist im Abstand von {within} auf allen sechs Seiten umbaut: {rule} "
        "lässt nur gelötete Verbindungen zu, wo keine Hand hinkommt; vor dem Schließen prüfen"
    ),
    "rules.sleeve": (
        "Leitung {run} geht durch {thing}, {where}: {rule} verlangt ein Hüllrohr aus Rohr von mindestens {size}, auf "
        "beiden Seiten bündig; das Hüllrohr einer Gasleitung wird nur innen abgedichtet"
    ),
    "rules.sleeve small": (
        "Leitung {run} geht durch {thing}, {where}, in einem Hüllrohr von {bore} lichter Weite: {rule} verlangt ein "
        "Hüllrohr aus Rohr von mindestens {size}, das innen {least} misst"
    ),
    "rules.cover": "Leitung {run} hat {cover} von {thing} über sich, {where}: {rule} verlangt {least}",
    "rules.supports": (
        "Leitung {run}: {rule} verlangt für Rohr von {size} waagerecht alle {level} und senkrecht alle {upright} "
        "eine Befestigung; 'clips' im Auftrag plant sie"
    ),
    "rules.held": (
        "Leitung {run} ist von {low} bis {high} auf {without} nicht befestigt: {rule} erlaubt hier {most}; Rohr von "
        "{size} wird waagerecht alle {level} und senkrecht alle {upright} befestigt{near}"
    ),
    "rules.near end": ", dazu höchstens {near} von jedem Ende und jeder Muffe",
    "rules.insulated": "eine Dämmung von {thick}",
    "rules.bare": "keine Dämmung",
    "rules.in void": " in {void}",
    "rules.any": "eine Dämmung",
    "rules.thickness": "{thick} Dämmung",
    "rules.thickness, conducting": "{thick} Dämmung von {of} W/(m K)",
    "rules.unless": "{rule} (außer {unless})",
    "rules.thin": "Leitung {run} hat {has}{where}: {rule} verlangt {asked}",
    "rules.bare end": (
        "{end|start=der Anfang|finish=das Ende} der Leitung {run} ist auf {bare} ohne Dämmung: {rule} lässt keine "
        "Unterbrechung zu"
    ),
    "rules.under clips": (
        "Leitung {run} hat {n} {n|Schelle|Schellen}: {rule} lässt dort keine Unterbrechung der Dämmung zu; "
        "Schellen für {round} um die Dämmung nehmen"
    ),
    "rules.broken": (
        "das Loch von {hole} in {thing}, {where}, lässt um das Rohr der Leitung {run} {room} für ihre Dämmung: "
        "{rule} verlangt dort {asked}, wofür ein Loch von {least} reicht"
    ),
    "rules.stops": (
        "die Dämmung der Leitung {run} soll am Loch von {hole} in {thing} enden ('bare'), {where}: {rule} verlangt "
        "dort {asked}, wofür ein Loch von {least} reicht"
    ),
    "rules.lagging between": (
        "die Leitungen {run} und {other} sind {near} voneinander entfernt, {where}: für beide zusammen verlangt {rule} "
        "{asked}"
    ),
    "rules.lagging between, crossing": (
        "die Leitungen {run} und {other} kreuzen sich im Abstand von {near}, {where}: für beide zusammen verlangt "
        "{rule} {asked}, halb so viel wie sonst"
    ),
    "rules.kept": "nichts dagegen",
    "rules.kept, but": "{kept}; {n} davon {n|ist|sind} weder Block noch Platte und {n|wurde|wurden} nicht geprüft",
    "rules.not kept": "{n} {n|Stelle|Stellen} dagegen",
    "rules.of kind": "{n} \u00d7 {kind}",
    "rules.looked at": "geprüft nach {rule}: {kinds}, {kept}; es entscheiden die Norm selbst und örtliche Vorschriften",
    "rules.spans looked at": (
        "geprüft nach {rule}: {kinds}, {kept}; Spannweiten wie gezeichnet, schwere Lasten ungeprüft; es entscheiden "
        "die Norm selbst, örtliche Vorschriften und das Tragwerksbüro"
    ),
    "rules.runs looked at": (
        "geprüft nach {rule}: {n} {n|Leitung|Leitungen}, {kept}; es entscheiden die Norm selbst und örtliche "
        "Vorschriften"
    ),
    "rules.no run": "geprüft nach {rule}: zu Rohr dieser Größen und Werkstoffe sagt sie nichts",
    "rules.nothing to look at": (
        "geprüft nach {rule}: im Raum steht nichts, von dem sie spricht; Gegenständen ihre Art geben, etwa is: cable"
    ),
}
