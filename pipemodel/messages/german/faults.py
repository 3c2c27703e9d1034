"""What is wrong with a file, a key or a value of a job, in German."""

TEMPLATES = {
    "fault.no file": "diese Datei gibt es nicht; den Pfad einer Datei angeben, die es gibt",
    "fault.folder": "das ist ein Ordner; den Pfad einer Datei darin angeben",
    "fault.not permitted": "diese Datei darf nicht gelesen werden; ihre Rechte ändern",
    "fault.cannot be read": "diese Datei lässt sich nicht lesen: {reason}",
    "fault.large file": "diese Datei ist zu groß für einen Auftrag; höchstens {most} MB werden gelesen",
    "fault.utf-16": "diese Datei ist als UTF-16 gespeichert; als UTF-8 speichern",
    "fault.no utf-8": "kein Text in UTF-8 (Byte 0x{byte}); den Auftrag als UTF-8 speichern",
    "fault.no text": (
        "kein reiner Text (das Zeichen U+{code} kann in keinem Auftrag stehen); ist das die richtige Datei?"
    ),
    "fault.empty file": (
        "die Datei ist leer; ein Auftrag hat job, tube, former, room und runs, jeweils mit dem, was dazugehört"
    ),
    "fault.a job": "ein Auftrag ist eine Gruppe von Schlüsseln: job, tube, former, room und runs",
    "fault.unknown key": "unbekannter Schlüssel {key}; {mend}",
    "fault.did you mean": "ist {name} gemeint?",
    "fault.stands beside": "er steht neben {name}, nicht darin",
    "fault.stands in": "er steht in {names}",
    "fault.keys here": "die Schlüssel hier sind {keys}",
    "fault.this file": "in dieser Datei",
    "fault.a record": "ein Eintrag",
    "fault.rules": "ein Regelwerk",
    "fault.point on wall": "ein Punkt auf einer Wand",
    "fault.point in bay": "ein Punkt in einem Feld",
    "fault.void of bay": "der Hohlraum eines Felds",
    "fault.leave out": "weglassen",
    "fault.lacks": "{where}: es fehlt {key}{about}",
    "fault.about": " ({about})",
    "fault.item": "Eintrag {n} von {name}",
    "fault.the job": "der Auftrag",
    "fault.expected": "{name}: hier gehört {expected} hin, nicht {value}",
    "fault.its keys": "{said}; die Schlüssel darin sind {keys}",
    "fault.kind": (
        "{kind|keys=eine Gruppe von Schlüsseln|names=eine Gruppe von Namen, jeder mit dem, was "
        "dazugehört,|list=eine Liste|text=ein Text|truth=true oder false|whole=eine ganze Zahl|digits=eine "
        "ganze Zahl mit weniger Stellen|number=eine Zahl|finite=eine endliche Zahl}"
    ),
    "fault.bound": "{sense|gt=mehr als |ge=mindestens |lt=weniger als |le=höchstens }{n}",
    "fault.needs": "{name} braucht mindestens {least}; hier sind es {has}",
    "fault.takes": "{name} nimmt höchstens {most}",
    "fault.empty": "{name} ist leer",
    "fault.long": "{name} ist zu lang; höchstens {most} Zeichen",
    "fault.not understood here": "{value} ist hier unverständlich; möglich wäre {would}",
    "fault.not understood": "{name} ist unverständlich: {value}; `pipemodel schema` sagt, was hier stehen kann",
    "fault.value": "{kind|empty=nichts|true=true|false=false|keys=eine Gruppe von Schlüsseln|list=eine Liste}",
    "fault.subject": (
        "{kind|empty=ein leerer Wert|true=true|false=false|list=eine Liste|keys=eine Gruppe von Schlüsseln|this=das}"
    ),
    "fault.how length": "eine Länge schreiben wie 600, 60 cm, 0.6 m oder 23 5/8 in",
    "fault.how angle": "einen Winkel in Grad schreiben, wie 30 oder 22.5 deg",
    "fault.no length": "{value} ist keine Länge; {how}",
    "fault.no angle": "{value} ist kein Winkel; {how}",
    "fault.no number": "{value} ist keine Zahl; eine Zahl ohne Einheit schreiben, wie 1.5",
    "fault.no whole number": "{value} ist keine Zahl; eine ganze Zahl schreiben, wie 3",
    "fault.length above 0": "{value} muss eine Länge über 0 sein",
    "fault.from 0": "{value} darf nicht unter 0 sein",
    "fault.angle above 0": "{value} muss ein Winkel über 0 sein",
    "fault.angle from 0": "{value} muss ein Winkel von mindestens 0 sein",
    "fault.degrees": "{value}: Winkel sind in Grad; {how}",
    "fault.decimal point": "{value} ist keine Länge; einen Dezimalpunkt nehmen: {right}",
    "fault.no unit": "{value}: {unit} ist hier keine Einheit einer Länge; mm, cm, m oder in nehmen",
    "fault.fraction": "{value}: ein Bruch ist einer von Zoll; {bare} in schreiben",
    "fault.by zero": "{value} teilt durch null; {how}",
    "fault.finite": (
        "{value} ist {what|length=keine Länge|angle=kein Winkel|number=keine Zahl}; eine endliche Zahl schreiben"
    ),
    "fault.too much": (
        "{value} ist zu groß; {what|length=keine Länge|angle=kein Winkel|number=keine Zahl} geht hier über "
        "{most}{what|length= mm|angle= Grad|number=}"
    ),
    "route.no heading": ("die Leitung hat noch keine Richtung; mit einer beginnen, etwa east: 600 oder turn: east"),
    "route.no heading for": (
        "die Leitung hat noch keine Richtung, von der {name} zählt; mit einer beginnen, etwa east: 600, oder angeben, "
        "auf welcher Seite man steht, etwa seen from: south"
    ),
    "route.ends in a bend": "die Leitung endet in einem Bogen; angeben, wie weit sie danach noch geht",
    "route.nowhere": "die Leitung geht nirgendwohin; angeben, wie weit",
    "route.no leg between": (
        "zwischen diesem Bogen und dem davor liegt kein Schenkel; angeben, wie weit das Rohr geht"
    ),
    "route.no length": (
        "dieser Schenkel hat keine Länge; ein Bogen braucht beiderseits gerades Rohr oder doch seinen eigenen Platz"
    ),
    "route.behind": "dieser Schenkel käme auf {far}: worauf er gemessen wird, liegt hinter ihm",
    "route.too short": (
        "dieser Schenkel ist {long} lang, bis zu den Ecken gemessen, aber {bends} davon: es fehlen {missing}"
    ),
    "route.bend takes": "sein Bogen braucht {one}",
    "route.bends take": "seine Bögen brauchen {one} und {other}",
    "fault.point": "ein Punkt sind drei Längen, [x, y, z]; {has}{words}",
    "fault.point has": "hier sind es {n}",
    "fault.point is": "hier steht {what}",
    "fault.point in words": (
        "; in Worten ist er {{wall: NAME, along: 600}} oder {{bay: 2, of: JOISTS, along: 700, down: 95}}"
    ),
}
