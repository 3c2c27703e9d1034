"""What `pipemodel new --ask` asks, in German."""

TEMPLATES = {
    "said.interrupted": "abgebrochen",
    "ask.what": (
        "Was soll gebogen werden? Längen sind mm oder haben eine Einheit: 40 cm, 1 1/2 in"
        ". Eingabe nimmt, was in Klammern steht."
    ),
    "ask.which": "Welches (1 bis {last})",
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
    "ask.no tube": "{answer} steht nicht in den Rohrtabellen; den Außendurchmesser angeben, etwa 15",
    "ask.no angle": "{answer} ist kein Winkel; einen in Grad angeben, etwa 45",
    "ask.wrong angle": "{answer} geht hier nicht als Winkel; einen von mehr als 0 und höchstens {most} Grad angeben",
    "ask.same distance": (
        "das ist derselbe Abstand von der Wand wie vor der Etage, {far}: ein gerades Rohr genügt; neu messen, oder den "
        "Abstand angeben, auf den die Etage führen soll"
    ),
    "ask.clear of the step": (
        "mit {near} Abstand von der Wand hält schon ein gerades Rohr diesen Abstand zum Vorsprung; neu messen, oder "
        "einen größeren Abstand angeben"
    ),
    "ask.beyond the rise": "vom Boden bis zum Ventil sind es {rise}; weniger als das angeben",
    "ask.step in the wall": "eine Etage um einen Vorsprung der Wand: gefunden aus seiner Tiefe",
    "ask.tail": "ein Heizkörperanschluss: aus dem Boden hoch und hinüber zum Ventil",
    "ask.step at": "Vom Rohrende bis zum Vorsprung der Wand",
    "ask.step out": "Wie weit der Vorsprung vor der Wand steht",
    "ask.step gap": ("Rohr in der Schelle hinter dem Vorsprung: von dessen Fläche bis zur nahen Seite des Rohrs"),
    "ask.tail near": "Wo das Rohr aus dem Boden kommt: von der Wand bis zur nahen Seite des Rohrs",
    "ask.tail valve": "Von der Wand bis zur Mitte des Ventils",
    "ask.tail side": "Wie weit rechts vom Rohr das Ventil sitzt, unter 0 für links",
    "ask.tail rise": "Vom Boden bis zum Anschluss des Ventils",
    "ask.tail straight": "Gerades Rohr, das unter dem Ventil bleiben soll",
    "ask.name": "Name des Auftrags",
    "ask.radius": "Biegeradius der eigenen Biegematrize (Eingabe für eine übliche)",
    "ask.clearance": "Abstand zu allem anderen",
    "ask.set round a step": "Etage um einen Vorsprung der Wand",
    "ask.radiator tail": "Heizkörperanschluss",
    "ask.about the job": (
        "Vom Raum aus gesehen, die Wand im Norden. Längen sind mm, wenn keine Einheit dabeisteht; x ist "
        "Osten, y Norden, z oben."
    ),
    "ask.again": "So wird aus den Antworten kein Stück. Noch einmal antworten; Eingabe behält eine Antwort.",
    "ask.now": "Jetzt ändern und versuchen: pipemodel check {file}",
    "ask.wall": "Wand",
    "ask.step": "Vorsprung",
}
