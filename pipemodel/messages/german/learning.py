"""What is said of finished pieces and what is learned from them, in German; keys of files stay as they are."""

TEMPLATES = {
    # Of a former and of hands, as notes
    "learned.springback": (
        "Rückfederung {value} \u00b1 {within} Grad bei einem Bogen von 90 (aus {n} {n|Bogen|Bögen} von {pieces} "
        "{pieces|Stück|Stücken})"
    ),
    "learned.radius": "Radius {value} \u00b1 {within}",
    "learned.mark": "Anriss {value} \u00b1 {within} (aus {n} {n|Bogen|Bögen})",
    "learned.more from": (
        "ab Stück {piece}{which} federt das Rohr bei 90 Grad {by} \u00b1 {within} Grad mehr zurück: {cause}"
    ),
    "learned.less from": (
        "ab Stück {piece}{which} federt das Rohr bei 90 Grad {by} \u00b1 {within} Grad weniger zurück: {cause}"
    ),
    "learned.which": " ({parts})",
    "learned.batch": "dort beginnt das Rohr der Lieferung {batch}{before}",
    "learned.after batch": ", nach Lieferung {batch}",
    "learned.worn": "eine abgenutzte Biegematrize, ein abgenutzter Anschlag oder Rohr einer anderen Lieferung",
    "learned.scatter": "{value} (zwischen {low} und {high}, aus {n} {n|Messung|Messungen})",
    "learned.degrees": "{value} Grad",
    "hands.learned": (
        "Hände: die Anrisse streuen um {mark}, die Winkel um {angle}, das Drehen um {turn}; in 19 von 20 Fällen, "
        "gelernt aus {n} {n|Bogen|Bögen} von {pieces} {pieces|Stück|Stücken} in {file}"
    ),
    # What the command says
    "learn.added": "{file}: {n} {n|Bogen|Bögen} von Stück {piece} hinzugefügt",
    "learn.made": "{file}: angelegt, mit {n} {n|Bogen|Bögen} von Stück {piece}",
    "learn.nothing added": "{file}: nichts hinzugefügt, diese Messungen stehen schon darin",
    "learn.merged": "{file}: {n} {n|Bogen|Bögen} von {pieces} {pieces|Stück|Stücken}",
    "learn.former": "Biegematrize {former}, Rohr {tube}; jede Zahl so in 19 von 20 Fällen:",
    "learn.from job": (
        "Ausgegangen wird von den eigenen Werten des Auftrags (Rückfederung {at} Grad bei 90), ohne genannten Auftrag "
        "von üblicher Praxis; solange es wenige Stücke sind, kommt dann anderes heraus."
    ),
    "learn.from practice": (
        "Ausgegangen wird von üblicher Praxis (Rückfederung {at} Grad bei 90), da kein Auftrag genannt ist, mit "
        "Auftrag von dessen eigenen Werten; solange es wenige Stücke sind, kommt dann anderes heraus."
    ),
    "learn.tube": "{outside} x {wall}{words}",
    "learn.tube words": " {words}",
    "learn.none": "Noch keine Bögen.",
    "learn.springback": "Rückfederung",
    "learn.at": "bei {angle} Grad {value} \u00b1 {within} Grad",
    "learn.rests on": "aus {n} {n|Bogen|Bögen} von {pieces} {pieces|Stück|Stücken}",
    "learn.fixed": "fest {fixed}, je Grad {rate}",
    "learn.radius": "Radius",
    "learn.mark": "Versatz des Anrisses",
    "learn.within": "{value} \u00b1 {within}",
    "learn.not measured": "nicht gemessen",
    "learn.changed": "verändert: {change}; die Bögen davor zählen nur als stetiger Verschleiß.",
    "learn.changes": "{changes}",
    "learn.order": (
        "Hinweis: manche Stücke haben dieselbe Nummer und kein Datum, weil Dateien zusammengelegt wurden; eine "
        "Veränderung der Rückfederung kann bei einem anderen Stück genannt werden. Sicher ist es mit Datum."
    ),
    "learn.hands": (
        "{who}, aus {n} {n|Bogen|Bögen} von {pieces} {pieces|Stück|Stücken}; jede Zahl als Standardabweichung, in 19 "
        "von 20 Fällen zwischen den beiden Zahlen:"
    ),
    "learn.hands of": "Die Hände von {by}",
    "learn.hands of all": "Die Hände",
    "learn.hands unnamed": "Die Hände ohne Namen",
    "learn.marks": "Anrisse",
    "learn.angles": "Winkel",
    "learn.rolls": "Drehen",
    "learn.scatter": "{value} (zwischen {low} und {high}), aus {n} {n|Messung|Messungen}",
}
