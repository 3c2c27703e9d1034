"""Was an den Ablesungen von Probestücken und fertigen Stücken nicht stimmt, auf Deutsch."""

TEMPLATES = {
    "piece.fine": "von Hand liest niemand so genau ab wie {value}; mindestens {least}, meist 0.5",
    "piece.keys of pieces": "hier gehören Schlüssel hin: tube, und pieces mit ihren Ablesungen",
    "piece.keys of bends": "hier gehören Schlüssel hin: bends, jeder Bogen mit Nummer und Ablesungen",
    "piece.impossible": "Stück {piece}: {fault}{hint}",
    "piece.probably": "; wahrscheinlich {what}",
    "piece.angle": (
        "ein fertiger Winkel von {angle} lässt sich nicht bis zum Rücken messen; richtig ist einer zwischen 0 und 180"
    ),
    "piece.mark": "die Marke bei {mark} liegt nicht auf einem Rohr von {cut}",
    "piece.pulled less": (
        "gezogen bis {pull}, gemessen {angle}: Rohr federt auf, der Zug kann also nicht kleiner sein; sind die "
        "beiden vertauscht?"
    ),
    "piece.legs": (
        "seine Schenkel bis zum Rücken sind zusammen {legs}, bei einem Rohr von {cut}; ein Bogen von {angle} muss "
        "{bound|least=mindestens|most=höchstens} {limit} ergeben"
    ),
    "piece.other run": "das sind Ablesungen der Leitung {run}, nicht von {asked}",
    "piece.no bend": (
        "die Leitung {run} hat keinen Bogen {bend}; sie hat {n}. Sind das Ablesungen einer anderen Leitung?"
    ),
    "piece.bend twice": "Bogen {bend} ist zweimal angegeben; einer muss weg",
    "fault.piece former": (
        "eine Biegematrize braucht einen Namen, unter dem ihre Bögen stehen: former: {{name: mine, radius: 55}}, "
        "oder den aus einer Datei"
    ),
    "piece.no reading": "Bogen {bend} hat keine Ablesung; es fehlt angle, start, roll, turn oder radius",
    "piece.roll or turn": "roll oder turn eines Bogens, nicht beides: sie sagen dasselbe",
    "piece.no roll": "Bogen {bend} wird zuerst gezogen, vor ihm wird nicht gedreht; roll muss weg",
    "piece.no turn": "vor Bogen 1 kommt keiner, er hat also kein turn; es muss weg",
    "piece.further": (
        "Bogen {bend} wurde bis {pulled} gezogen und kann nicht {angle} ergeben; wurde weiter gezogen, gehört "
        "pulled: neben angle"
    ),
    "piece.begins": "auf diesem Rohr beginnt ein Bogen zwischen 0 und {length}, nicht bei {start}",
    "piece.another run": "ist das eine andere Leitung? Ist es so gemessen, dann mit --as-measured",
    "piece.centimetres": "sind mit {value} Zentimeter gemeint? Hier stehen mm, oder die Einheit dabei",
    "piece.other way": (
        "im Uhrzeigersinn, vom Anfang aus gesehen, zählt über 0; ging es andersherum, gehört {value} hin"
    ),
    "piece.slip": (
        "{key|angle=der Winkel|start=der Beginn|radius=der Radius|roll=die Drehung|turn=die Verdrehung} von Bogen "
        "{bend} ist {value} {unit|mm=mm|degrees=Grad}, verlangt war {asked}: {guess}"
    ),
}
