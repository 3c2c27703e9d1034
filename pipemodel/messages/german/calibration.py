"""What is said of test pieces and the former they were bent round, in German; keys of their file stay as they are."""

TEMPLATES = {
    "calibration.from": "Aus {n} {n|Probestück|Probestücken}, jede Zahl mit ihrem 95-%-Intervall:",
    "calibration.pull": "für {angle} biegen bis",
    "calibration.radius": "fertiger Radius",
    "calibration.mark": "Versatz des Anrisses",
    "calibration.fixed": "Rückfederung, fest",
    "calibration.per degree": "Rückfederung, je Grad",
    "calibration.hold": "Einspannlänge",
    "calibration.guide": "Führungslänge",
    "calibration.degrees": "Grad",
    "calibration.within": "{value} \u00b1 {within} {unit}",
    "calibration.more": "{n} weitere wie diese würden das halbieren",
    "calibration.not measured": "mit diesen Stücken nicht gemessen",
    "calibration.not settled": "mit diesen Stücken nicht bestimmt: andere Winkel messen, oder bis zu beiden Rücken",
    "calibration.not given": "nicht angegeben",
    "calibration.on the bender": "{length} mm, wie am Biegegerät gemessen",
    "calibration.left": "{file} bleibt, wie sie war: etwas sieht falsch aus, siehe unten",
    "calibration.nothing written": (
        "nichts geschrieben: diese Stücke ergeben keinen Radius, und {file} hat noch keinen für {former}"
    ),
    # Notes
    "calibration.note": "Hinweis: {note}.",
    "calibration.law": (
        "Hinweis: die beiden Teile der Rückfederung sind zusammen genauer als einzeln; nach den Werten „biegen bis“ "
        "gehen und sie so genau einstellen, wie die Probestücke abgelesen wurden."
    ),
    "calibration.hold and guide": (
        "Hinweis: stehen Einspannlänge und Führungslänge weder hier noch in der Datei der Biegematrize, kommen sie von "
        "der allgemeinen Biegematrize der Rohrgröße; mit dem Maßband am Biegegerät messen und als „hold“ und „guide“ "
        "neben das Rohr schreiben."
    ),
    "calibration.one leg": (
        "die Länge eines Schenkels allein ergibt weder Radius noch Anriss: auch den anderen Schenkel messen"
    ),
    "calibration.none spare": (
        "keine Ablesung ist überzählig: die Unsicherheit beruht allein auf der angegebenen Genauigkeit"
    ),
    "calibration.scatter": "die Ablesungen streuen {times}-mal so stark, wie Maßband und Winkelmesser erwarten lassen",
    "calibration.one angle": (
        "die Rückfederung gilt nahe {near} Grad: für ihr Gesetz ein Stück auf einen anderen Winkel biegen, mindestens "
        "{apart} Grad entfernt"
    ),
    "calibration.cannot tell": (
        "Stücke mit nur einem Winkel lassen diese Ablesungen nicht von einem Messfehler unterscheiden: {mistakes}; "
        "eines auf einen anderen Winkel biegen"
    ),
    "calibration.then would be": "{what} (dann Radius {radius}, Anriss {mark})",
    # What looks wrong
    "calibration.not a former": "Diese Zahlen passen zu keiner Biegematrize: {why}.",
    "calibration.probably": "Wahrscheinlich: {what}.",
    "calibration.or": "Oder: {what}.",
    "calibration.in pieces": "bei Stück {pieces}: {what}",
    "calibration.then": "{what} (dann {figures})",
    "calibration.then radius": "Radius {value} mm",
    "calibration.then mark": "Anriss {value} mm",
    "calibration.measure again": (
        "Noch einmal messen; stimmen die Ablesungen so, wie sie dastehen, --as-measured angeben."
    ),
    "calibration.one of these": "Eine dieser Ablesungen ist falsch; die übrigen sind zu wenige, um zu sagen, welche:",
    "calibration.too much": (
        "Stück {piece}: {reading|start to back=„start to back“|finish to back=„finish to back“|angle=der Winkel|"
        "pull=„biegen bis“} ist wohl um {off} {unit} falsch (mehr, als die übrigen sagen). Noch einmal messen."
    ),
    "calibration.too little": (
        "Stück {piece}: {reading|start to back=„start to back“|finish to back=„finish to back“|angle=der Winkel|"
        "pull=„biegen bis“} ist wohl um {off} {unit} falsch (weniger, als die übrigen sagen). Noch einmal messen."
    ),
    "suspicion.no former": (
        "die Ablesungen passen zu keiner Biegematrize: sie streuen {times}-mal so stark wie angegeben"
    ),
    "suspicion.radius below": (
        "der Radius ergibt sich zu {radius} \u00b1 {within} mm, unter dem kleinsten veröffentlichten, {least} mm"
    ),
    "suspicion.radius above": (
        "der Radius ergibt sich zu {radius} \u00b1 {within} mm, und Biegematrizen haben bis zu {most} mm"
    ),
    "suspicion.mark": (
        "der Versatz des Anrisses ergibt sich zu {mark} \u00b1 {within} mm, und bei einer Biegematrize liegt er "
        "zwischen {low} und {high} mm"
    ),
    "suspicion.opens": (
        "bei {angle} Grad federt das Rohr um {by} \u00b1 {within} Grad zurück, und Rohr federt beim Loslassen auf"
    ),
    "suspicion.too much": (
        "bei {angle} Grad federt das Rohr um {by} \u00b1 {within} Grad zurück, und kein Rohr um mehr als {most}"
    ),
    # What people get wrong when they measure
    "mistake.to centre": "die Schenkel wurden bis zur Mitte des Rohrs gemessen, nicht bis zum Rücken",
    "mistake.to inside": "die Schenkel wurden bis zur Innenseite des Bogens gemessen, nicht bis zum Rücken",
    "mistake.mark from finish": "der Anriss wurde vom Ende aus gemessen",
    "mistake.legs exchanged": "„start to back“ und „finish to back“ sind vertauscht",
    "mistake.other end": (
        "Anriss und Schenkel sind vom anderen Ende gemessen, oder das Rohr wurde auf der Endseite gehalten"
    ),
    "mistake.between legs": "statt des Biegewinkels wurde der Winkel zwischen den Schenkeln aufgeschrieben",
    "mistake.angle and pull": "Winkel und „biegen bis“ (angle und pull) sind vertauscht",
    "mistake.centimetres": "die Längen sind in Zentimetern",
}
