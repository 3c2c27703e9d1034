"""Wie ein Rohr an seinen Platz gebracht wird, Bewegung für Bewegung, und warum nicht, auf Deutsch."""

TEMPLATES = {
    "way in.list": "An seinen Platz bringen",
    "way in.label answer": "einzubringen",
    "way in.label least": "kleinster Abstand",
    "way in.label margin": "verlangt",
    "way in.found": "ja{through}",
    "way in.not found": "kein Weg gefunden{through}; es kann trotzdem einen geben",
    "way in.impossible": "nein: es geht nicht{through}",
    "way in.by opening": " durch {opening}",
    "way in.least": "{least}",
    "way in.frames": "der Weg Schritt für Schritt; blass, wie das Stück vor dem Schritt lag",
    "way in.frame title": "{run} wird eingebracht, Schritte {low} bis {high}",
    "way in.opening": "{name}: {wide} mal {high}",
    "way in.caution": (
        "Der Weg gilt für das gebogene Stück allein, mit bloßen Enden und starr, wo nicht von Federn die Rede ist; "
        "Hände weg von Kanten, und Langes zu zweit tragen."
    ),
    "way in.begin": "zuerst draußen: Anfang bei {start}; Ende bei {finish}",
    "way in.begin sprung": (
        "{ends}; nicht weiter, und so halten, bis es losgelassen wird, denn es muss zurückfedern; so {begin}"
    ),
    "way in.sprung end": (
        "{end|start=den Anfang|finish=das Ende} um {by} {how|open=auseinanderfedern|closed=zusammenfedern}{push}, "
        "neben Bogen {bend} gehalten"
    ),
    "way in.push": ", dort mit etwa {push} N gedrückt (so viel, wie {weight} kg wiegen)",
    "way in.end sprung": "{end|start=Anfang|finish=Ende}, um {by} {how|open=auf|closed=zu}",
    "way in.let go": "{motion}; dort zurückfedern lassen",
    "way in.sprung": (
        "Leitung {run} kommt nur von Hand gefedert hinein: {ends}; nicht weiter, und sie muss zurückfedern. Die am "
        "stärksten gedehnte Faser ist dann um {strain} % gedehnt, erlaubt sind {limit} %, {basis}. Nur von Hand, nicht "
        "wo sie erhitzt oder verbunden ist, und nicht, wenn sie weicher ist als angegeben; was nicht zurückfedert, hat "
        "ihre Maße nicht mehr: noch einmal prüfen"
    ),
    "way in.half of proof": "die Hälfte dessen, was {proof} N/mm\u00b2 Dehngrenze dehnen",
    "way in.own strain": "wie der Auftrag sagt",
    "way in.reach": "{end|start=der Anfang|finish=das Ende} um {by}",
    "way in.sprung in vain": (
        "Leitung {run}: auch von Hand auf oder zu gefedert, {reach}, fand sich kein Weg; das dehnt sie um höchstens "
        "{limit} %, {basis}"
    ),
    "way in.not sprung": (
        "Leitung {run}: mit {limit} % Dehnung, {basis}, federn ihre Enden so gut wie nicht; gefedert wurde sie nicht "
        "versucht"
    ),
    "way in.through": "{leads} voran durch {opening}: {motion}",
    "way in.end leads": "{end|start=Anfang|finish=Ende}",
    "way in.bend leads": "Bogen {bend}",
    "way in.leg leads": "Schenkel {leg} quer",
    "way in.slide": "{moves} schieben",
    "way in.slide along": "längs Schenkel {leg} ",
    "way in.slide at once": "{along}in einer geraden Linie {moves} schieben",
    "way in.go": (
        "{far} {way|north=nach Norden|south=nach Süden|east=nach Osten|west=nach Westen|up=nach oben|down=nach unten}"
    ),
    "way in.a little": "ein wenig",
    "way in.towards": (
        "{way|north=nach Norden|south=nach Süden|east=nach Osten|west=nach Westen|up=nach oben|down=nach unten}"
    ),
    "way in.towards wall": "zu {wall} hin",
    "way in.about end": (
        "{end|start=den Anfang|finish=das Ende} festhalten und {end|start=das Ende|finish=den Anfang} um {angle}\u00b0 "
        "{ways} {kind|turn=drehen|tip=kippen}, bis {end|start=es|finish=er} {moves} gegangen ist"
    ),
    "way in.about bend": (
        "Bogen {bend} festhalten und das Stück um {angle}\u00b0 {kind|turn=drehen|tip=kippen}, bis der Anfang "
        "{start} und das Ende {finish} gegangen ist"
    ),
    "way in.about leg": (
        "Schenkel {leg} festhalten und das Stück um {angle}\u00b0 um ihn rollen, bis "
        "{end|start=der Anfang|finish=das Ende} {moves} gegangen ist"
    ),
    "way in.about middle leg": (
        "Schenkel {leg} festhalten und das Stück um {angle}\u00b0 um ihn rollen, bis der Anfang {start} und das Ende "
        "{finish} gegangen ist"
    ),
    "way in.turn": (
        "um {angle}\u00b0 {kind|turn=drehen|tip=kippen}, bis der Anfang {start} und das Ende {finish} gegangen ist"
    ),
    "way in.roll": (
        "um {angle}\u00b0 um die eigene Länge rollen, "
        "{hand|clockwise=im Uhrzeigersinn|anticlockwise=gegen den Uhrzeigersinn} vom Anfang aus gesehen"
    ),
    "way in.and roll": (
        "{motion}, dabei {angle}\u00b0 {hand|clockwise=im Uhrzeigersinn|anticlockwise=gegen den Uhrzeigersinn} rollen, "
        "vom Anfang aus gesehen"
    ),
    "way in.near": "{motion}; an der engsten Stelle bleiben {left} frei, gegen {thing}",
    "way in.rounded": (
        "Längen sind auf {mm} gerundet, Winkel auf {deg}\u00b0; so bewegt bleiben überall mindestens {kept} frei"
    ),
    "way in.rounded too far": (
        "Längen sind auf {mm} gerundet, Winkel auf {deg}\u00b0, und der Weg ist enger als das: wo gesagt "
        "ist, wie wenig frei bleibt, nach Augenmaß"
    ),
    "way in.no: too small": (
        "das Rohr braucht {need}, um mit Abstand zu beiden Seiten durch {opening} zu gehen, und kein Kreis darin ist "
        "größer als {has}"
    ),
    "way in.no: no straight way inside": (
        "der gerade Schenkel von {leg} kann von {opening} aus nicht gerade nach innen liegen, wie man ihn auch dreht; "
        "das müsste er, wenn sein letztes Ende hindurchgeht"
    ),
    "way in.no: no straight way outside": (
        "der gerade Schenkel von {leg} kann von {opening} aus nicht gerade nach außen liegen, wie man ihn auch dreht; "
        "das müsste er, wenn sein erstes Ende ankommt"
    ),
    "way in.no: no straight way across": (
        "der gerade Schenkel von {leg} kann nicht zur Hälfte durch {opening} ragen, wie man ihn auch dreht; das müsste "
        "er unterwegs"
    ),
    "way in.no: bend does not pass": (
        "Bogen {bend} kann nicht in {opening} stehen, wie man das Stück auch dreht; das müsste er unterwegs"
    ),
    "way in.help order": "vor {others} kann es eingebracht werden",
    "way in.help bend": (
        "mit noch geradem Bogen {bend} kann es eingebracht und der Bogen am Platz gezogen werden, wenn das Biegegerät "
        "hinkommt"
    ),
    "way in.help joint": "mit 1 Verbindung kann es Stück für Stück eingebracht werden: {joint}",
    "way in.help joints": (
        "mit {n} Verbindungen kann es Stück für Stück eingebracht werden (mit weniger wurde kein Weg gefunden): "
        "{joints}"
    ),
    "way in.joint": "{at} vom Anfang, in Schenkel {leg}",
    "way in.joint from": "{at} vom Anfang, in Schenkel {leg}, gefertigt von {side}",
    "way in.help opening": "ist {opening} ringsum {by} größer, kann es eingebracht werden",
    "way in.help opening no less": (
        "ist {opening} ringsum {by} größer, kann es eingebracht werden (mit {less} wurde kein Weg gefunden)"
    ),
    "way in.help write": "{help}, {write}, und {things} bis dorthin zurückschneiden",
    "way in.no: too wide": (
        "es passt nicht in {opening}, einen Gang, tiefer als das Stück lang ist, so dass es einmal ganz darin ist; wie "
        "man es auch dreht, müsste dafür mit Abstand jede Seite um mindestens {by} zurückstehen"
    ),
    "way in.no: proved": "Leitung {run} kann nicht eingebracht werden: {why}",
    "way in.would help": "Leitung {run}: was helfen würde, jeweils mit gefundenem Weg: {helps}",
    "way in.no help found": (
        "Leitung {run}: keine andere Reihenfolge, kein später gezogener Bogen, keine Verbindung und keine größere "
        "Öffnung gefunden, die helfen würde; alles wurde mit weniger Aufwand versucht als die Suche selbst, mit "
        "größerem Aufwand findet sich vielleicht etwas"
    ),
}
