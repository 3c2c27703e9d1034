"""What is said of a piece once checks are read, in German."""

TEMPLATES = {
    "correct.go on": "in Ordnung, weiter",
    "correct.mistake": (
        "Bogen {bend}: {what|wrong way=falsch herum gedreht|not rolled=nicht gedreht|wrong roll=in die falsche "
        "Richtung gedreht|no springback=ohne Rückfederung gebogen|other mark=der Anriss eines anderen Bogens genommen"
        "|wrong end=das falsche Ende im Anschlag}, nach den Messungen"
    ),
    "correct.angle": "Bogen {bend} hat {angle}° ({low}° bis {high}°; richtig ist {aim}°)",
    "correct.start": ("Bogen {bend} beginnt {far} (± {within}) {side|further=zu weit weg vom|nearer=zu nah am} Anfang"),
    "correct.turn": (
        "Bogen {bend} ist um {angle}° (± {within}°) zu weit {way} verdreht, vom Anfang aus das Rohr entlang gesehen"
    ),
    "correct.waiting": "wird ausgerechnet …",
    "correct.wait": "warten: diese Karte kann sich noch ändern",
    "correct.unexplained": (
        "so misst kein annähernd richtig gebogenes Stück; es wird gesucht, was die Messwerte erklärt …"
    ),
    "correct.which side": (
        "{checks} kann nach beiden Seiten abstehen, und eine davon ginge nicht: beide Schenkel des Bogens flach "
        "auflegen, den Spalt unter dem Rest, vom Anfang aus hinsehen und dazuschreiben, nach welcher Seite der Bogen "
        "abgeht: left (links) oder right (rechts), etwa 4 left; oder 4 either, wenn es nicht zu sehen ist"
    ),
    "correct.choose side": (
        "{checks} kann nach beiden Seiten abstehen, und eine davon ginge nicht: daneben links oder rechts wählen, "
        "oder dass es nicht zu sehen ist"
    ),
    "correct.side": "mit dem Spalt unter dem Rest, vom Anfang aus gesehen, geht Bogen {bend} ab nach",
    "correct.side not known": (
        "nach welcher Seite {checks} absteht, ist nicht bekannt: das gilt für die Mitte, am Ende für die bessere"
    ),
    "correct.side either": "nicht zu sehen",
    "correct.side left": "links",
    "correct.side right": "rechts",
    "correct.pull on": (
        "Bogen {bend} um {more}° weiter biegen, bis er losgelassen {angle}° hat (etwa {scale}° an der Skala), "
        "dann neu messen"
    ),
    "correct.at pull": "Biegung {pull}, Bogen {bend}: {changes}",
    "correct.mark": "Anriss auf {at} versetzen (geplant {was})",
    "correct.pull": "bis {angle}° biegen (geplant {was}°)",
    "correct.roll": (
        "um {more}° weiter {way} drehen, vom Anfang aus gesehen: die Innenlinie {angle}° ({far}) {round} "
        "von der von Bogen {last} anreißen"
    ),
    "correct.held": "auf der Seite {end|start=des Anfangs|finish=des Endes} halten",
    "correct.lands": (
        "{how|lands=das Ende liegt dann|at best=bestenfalls liegt das Ende} {sideways} seitlich daneben und ist "
        "{along} zu {way|long=lang|short=kurz}, der letzte Schenkel weicht um {angle}° ab"
    ),
    "correct.give or take": (
        "die Lage des Endes ist auf {sideways} seitlich, {along} längs und {angle}° in der Richtung genau"
    ),
    "correct.not shown": (
        "die gemessenen Werte zeigen nicht, dass es passt: die Lage des Endes ist nur auf {sideways} seitlich, "
        "{along} längs und {angle}° in der Richtung genau, es kann also zu weit daneben liegen"
    ),
    "correct.not read": "auf dieser Karte nicht gemessen: {checks}; noch messen",
    "correct.read twice": "alles ist gemessen: nochmals messen, beides angeben, oder nach der nächsten Biegung sehen",
    "correct.hold up": "alle Maße dieser Karte sind gemessen: das Stück zur Probe an seinen Platz halten",
    "correct.other order": (
        "die Antwort nach Biegung {pull} hat die Reihenfolge der Biegungen geändert: spätere Prüfungen sind nicht die "
        "ihrer Karten; für die neuen Karten eine neue Datei beginnen"
    ),
    "correct.no order": "keine Reihenfolge der übrigen Biegungen geht",
    "correct.trim": "{far} am Ende abschneiden",
    "correct.slip": "das Stück in den Schellen um {far} {end|start=zum Anfang|finish=zum Ende} hin verschieben",
    "correct.recut": "neues Stück zuschneiden: {why}",
    "correct.flattened": (
        "Bogen {bend} ist abgeflacht, in einer Richtung {by} breiter als in der anderen, höchstens {most} dürfen es "
        "sein: das Gleitstück fehlte oder war verrutscht"
    ),
    "correct.if again": "ist es wieder dasselbe, taugt dieses Stück nicht: {why}",
    "correct.again": "die Messungen passen nicht zusammen; {n|diese eine|diese} noch einmal vornehmen: {checks}",
    "correct.alone": (
        "nur {checks} spricht dafür: erst noch einmal messen und beide Werte angeben, etwa [609, 610]; dann gilt es"
    ),
    "correct.verdict": (
        "{verdict|go on=WEITER|pull on=WEITER BIEGEN|change=DEN REST ÄNDERN"
        "|trim=ABSCHNEIDEN|recut=NEUES STÜCK ZUSCHNEIDEN|contradiction=NOCH EINMAL MESSEN|which side=SEITE ANGEBEN}"
    ),
    "correct.fill in": "Hinter jede Prüfung schreiben, was gemessen wurde; leer lassen, was nicht gemessen wurde.",
    "correct.title": "{run}, nach Biegung {after}",
    "correct.lay": "so einlegen, dass diese Linie {faces|you=zu Ihnen|down=nach unten} zeigt",
    "correct.mark same": "Anriss bei {at}, wie geplant",
    "correct.beyond": "das Rohr jenseits von Bogen {bend} {stands}",
    "correct.again alone": "nur {checks} spricht dafür: noch einmal messen und eintippen, was es dann ist",
    "correct.corrected": "Berichtigt nach Biegung {pull}",
    "correct.twice": "{check} ist noch einmal dasselbe",
    "correct.wanted": "berichtigt, Soll {wanted}",
    "correct.undo": "Den Rest wie geplant biegen",
    "correct.redo": "Den Rest wie berichtigt biegen",
    "correct.not looked at": ("Abstände und Biegegerät werden hier nicht neu geprüft; das tut pipemodel measured"),
    "correct.to do": "Noch zu tun, berichtigt",
    # A reading that cannot be meant
    "unlikely.slip": (
        "Kontrolle {check}: {value} liegt weit neben {right} auf der Karte und sieht nach {slip|"
        "centimetres=Zentimetern|inches=Zoll|decimetres=Dezimetern|metres=Metern|ten=dem Zehnfachen|"
        "millimetres=mm statt Zoll} aus; "
        "ist {meant} gemeint?"
    ),
    "unlikely.below": "Kontrolle {check}: {value} liegt unter 0, das hat kein Stück; auf der Karte steht {right}",
    "unlikely.long": (
        "Kontrolle {check}: {value} ist mehr, als dieses Rohr lang ist ({long}); auf der Karte steht {right}"
    ),
    "unlikely.round below": (
        "Kontrolle {check}: {value} liegt unter 0; eintragen, um wie viel er in einer Richtung größer ist"
    ),
    "unlikely.round": (
        "Kontrolle {check}: {value} ist ein Durchmesser; eintragen, um wie viel er in einer Richtung größer ist"
    ),
    "unlikely.angle": "Kontrolle {check}: {value}° ist kein Winkel eines Bogens; auf der Karte steht {right}°",
    "unlikely.legs": (
        "Kontrolle {check}: {value}° ist der Winkel zwischen den Schenkeln; der Bogen hat {meant}°: das eintragen"
    ),
    "unlikely.times": "Kontrolle {check}: {value}° liegt weit neben {right}° auf der Karte; ist {meant}° gemeint?",
    "readings.none": "noch ist nichts abgelesen: hinter den Namen einer Kontrolle schreiben, was sie zeigt: 2a: 609",
    "fault.readings group": "hierher gehört eine Gruppe von Schlüsseln, {{after: 2, readings: {{2a: 609, 2b: 91}}}}",
    "fault.readings hold": "in readings gehört, was abgelesen wurde: {{2a: 609, 2b: 91}}",
    "readings.run": "das sind Messungen der Leitung {run}, gefragt ist nach {own}",
    "readings.corrected": "corrected ist true oder false: ob nach geänderten Karten gebogen wurde",
    "readings.after lacks": "es fehlt „after“: die Nummer der Biegung, nach der gemessen wurde",
    "readings.no pull": "after ist die Nummer einer Biegung; Biegung {pull} gibt es nicht, {run} hat {most}",
    "readings.order": "Biegung {pull} steht hinter Biegung {last}: in die richtige Reihenfolge bringen",
    "readings.comma": "ein Komma trennt hier zwei Messungen; Kontrolle {check} mit Punkt schreiben: {check}: {right}",
    "readings.no check": "die Leitung {run} hat keine Kontrolle {check}; {mend}",
    "readings.checks": "die Kontrollen nach dieser Biegung sind {checks}",
    "readings.later": "Kontrolle {check} gehört zu Biegung {pull}, abgelesen wurde nach Biegung {made}",
    "readings.twice": "Kontrolle {check} steht schon da; alle ihre Messungen in eine Liste schreiben",
    "readings.many": "Kontrolle {check} hat 1 bis {most} Messungen; hier sind es {has}",
    "readings.both ways": "Kontrolle {check} ist einmal so und einmal anders gesehen; noch einmal hinsehen",
    "readings.differ": "die Messungen von Kontrolle {check} gehen weiter auseinander, als man ablesen kann; neu messen",
    "readings.measured": "bei Kontrolle {check} wird gemessen: den Wert hinschreiben; {right} ist richtig",
    "readings.no side": "Kontrolle {check} hat keine Seite: den Wert allein hinschreiben, {figure}",
    "readings.look": "Kontrolle {check} wird angesehen: {one} oder {other}, oder yes für wie auf der Karte, oder no",
}
