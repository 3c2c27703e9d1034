"""What `pipemodel new --ask` asks, in German."""

ASKING = {
    "ask.what": (
        "Was soll gebogen werden? Längen sind mm oder haben eine Einheit: 40 cm, 1 1/2 in"
        ". Eingabe nimmt, was in Klammern steht."
    ),
    "ask.which": "Welches (1, 2 oder 3)",
    "ask.set": "eine Etage: auf einen anderen Abstand von der Wand, um etwas herum",
    "ask.passover": "ein Überbogen: über ein querendes Rohr und zurück in die Flucht",
    "ask.corner": "eine Ecke: ein rechtwinkliger Bogen zwischen zwei Wänden",
    "ask.tube": "Rohr, Außendurchmesser",
    "ask.angle": "Winkel der Bögen, Grad",
    "ask.set back": "Vom Rohrende bis zum Rücken des ersten Bogens",
    "ask.set near": "Rohr in der Schelle vor der Etage: von der Wand bis zur nahen Seite des Rohrs",
    "ask.set far": "Rohr in der Schelle nach der Etage: von derselben Wand bis zur nahen Seite des Rohrs",
    "ask.set after": "Vom zweiten Bogen bis zum anderen Ende",
    "ask.passover total": "Von Ende zu Ende, fertig gebogen",
    "ask.passover at": "Vom Rohrende bis zur Mitte des querenden Rohrs",
    "ask.passover over": "Außendurchmesser des querenden Rohrs, auf gleicher Höhe wie die Leitung",
    "ask.passover gap": "Abstand, der zwischen beiden bleiben soll",
    "ask.corner first": "Vom ersten Ende bis zum Rücken des Bogens",
    "ask.corner second": "Vom Rücken des Bogens bis zum anderen Ende",
    "ask.too little": "{answer} ist zu wenig; eine größere Länge angeben, etwa 400",
    "ask.no length": "{answer} ist keine Länge; eine angeben wie 400, 40 cm oder 15 3/4 in",
}
