"""Findings and notes, in German."""

TEMPLATES = {
    "nothing": "",
    "several": "{said}",
    "length": "{mm}",
    "word": "{word}",
    "degrees": "{angle}°",
    "less than": "weniger als {length}",
    "list.and": "und",
    "list.or": "oder",
    "of run": "Leitung {run}: {said}",
    # Places on a run
    "place.start": "am Anfang",
    "place.finish": "am Ende",
    "place.along": "{at} vom Anfang{among}",
    "place.in bend": ", in Bogen {bend}",
    "place.before bend": ", vor Bogen {bend}",
    "place.after bend": ", nach Bogen {bend}",
    "place.between bends": ", zwischen Bogen {one} und {other}",
    "part.bend": "Bogen {bend}",
    "part.leg": "Schenkel {leg}",
    "leg.tube": "Rohr",
    "leg.start tail": "Anfangsschenkel",
    "leg.finish tail": "Endschenkel",
    "leg.between": "Schenkel zwischen Bogen {one} und {other}",
    # Clashes
    "clash.through": "Leitung {run} geht mitten durch {other}, {where}: {hole}; oder {cure}",
    "clash.overlap": "Leitung {run} stößt mit {other} zusammen: Überschneidung {deep}, {where}{asked}; {cure}",
    "clash.near": "Leitung {run} kommt bis auf {near} an {other} heran, {where}{asked}; {cure}",
    "clash.overlaps": "Leitung {run} stößt an {n} Stellen mit {other} zusammen: {places}",
    "clash.nears": "Leitung {run} kommt an {n} Stellen zu nahe an {other}: {places}",
    "clash.numbered place": "({n}) {place}",
    "clash.more places": "und {n} weitere",
    "clash.place through": "{where}: {hole}; oder {cure}",
    "clash.place overlap": "{where}: Überschneidung {deep}{asked}; {cure}",
    "clash.place near": "{where}: {near} Abstand{asked}; {cure}",
    "clash.overlap itself": (
        "Leitung {run} läuft in sich selbst: Überschneidung {near}, {where}{asked}; "
        "frei, wenn {part} dort um {move} verschoben wird"
    ),
    "clash.near itself": (
        "Leitung {run} kommt bis auf {near} an sich selbst heran, {where}{asked}; "
        "frei, wenn {part} dort um {move} verschoben wird"
    ),
    "clash.asked": "; verlangt sind {asked}",
    "clash.asked, insulated": "; verlangt sind {asked}, davon {insulation} Dämmung",
    "clash.way": "{far} nach {way}",
    "clash.move": "{ways}",
    "clash.hole": "nötig ist ein Loch mit {diameter} Durchmesser, {length} lang, von {start} bis {finish}{round_it}",
    "clash.round it": " ({asked} rings um das Rohr)",
    "clash.round it, insulated": " ({asked} rings um das Rohr, davon {insulation} Dämmung)",
    "clash.cure": "frei, wenn {part} um {move} verschoben wird",
    "clash.held off": (
        "die Schellen halten seine Achse {stands} vor {thing}: einen Wandabstand von mindestens {least} verlangen{less}"
    ),
    "clash.less there": " oder einen Abstand von höchstens {clear}",
    "clash.wider": "frei mit einem Loch von {diameter} und dem Rohr in seiner Mitte; oder {cure}",
    "clash.no move": "keine Verschiebung gefunden, mit der {part} frei wird",
    "clash.not reached": (
        "Leitung {run}: {end|start=der Anfang|finish=das Ende} soll an {other} anschließen, liegt aber {gap} davon weg"
    ),
    "zone.void deep": "Leitung {run} verlässt den Hohlraum {zone} um {far} bei {side}, {where}{asked}{more}; {cure}",
    "zone.void near": (
        "Leitung {run} kommt bis auf {far} an {side} heran, eine Seite des Hohlraums {zone}, "
        "{where}{asked}{more}; {cure}"
    ),
    "zone.free deep": "Leitung {run} reicht {far} in {zone} hinein, freizuhalten ({why}), {where}{asked}{more}; {cure}",
    "zone.free near": (
        "Leitung {run} kommt bis auf {far} an {zone} heran, freizuhalten ({why}), {where}{asked}{more}; {cure}"
    ),
    "zone.more": " (die schlimmste von {n} Stellen)",
    "sleeves.left": (
        "Leitung {run} hat {what|sleeve=im Hüllrohr|hole=im Loch|opening=in der Öffnung|notch=in der Ausklinkung} "
        "{sleeve}, {bore}, durch {thing}, "
        "{where}, rundum {left} Luft; "
        "Brandschutz, Abdichtung und Bewegung nach örtlichen Vorschriften"
    ),
    "sleeves.tight": (
        "Leitung {run} passt nicht durch {what|sleeve=das Hüllrohr|hole=das Loch} {sleeve}, {bore}, durch "
        "{thing}, {where}: rundum "
        "bleiben {left}, verlangt sind {asked}; ihre Achse liegt {off} neben der Mitte, so wie sie liegt, genügt eine "
        "lichte Weite von {least}"
    ),
    "sleeves.tight, square": (
        "Leitung {run} passt nicht durch {what|opening=die Öffnung|notch=die Ausklinkung} {sleeve}, {bore}, durch "
        "{thing}, {where}: rundum bleiben {left}, verlangt sind {asked}"
    ),
    "sleeves.bore": "lichte Weite {bore}",
    "sleeves.square": "{wide} mal {tall}",
    "sleeves.missed": (
        "{what|sleeve=das Hüllrohr|hole=das Loch|opening=die Öffnung|notch=die Ausklinkung} {sleeve} ist für "
        "Leitung {run}, die nicht hindurchgeht"
    ),
    "falls.ratio": "1 : {over}",
    "falls.drawn": "1:{over}",
    "falls.leg": "Schenkel {leg} von Leitung {run} {wrong}, gemeint ist ein Gefälle von {asked}",
    "falls.level": "liegt waagerecht",
    "falls.rises": "steigt zum {end|start=Anfang|finish=Ende} hin um {rises}",
    "falls.little": "fällt nur {has}, am tiefen Ende fehlen {short}",
    "falls.run": (
        "Leitung {run} fällt zum {end|start=Anfang|finish=Ende} hin {asked} oder mehr, im Ganzen {drop}: von z {high} "
        "auf z {low}, in der Achse"
    ),
    "falls.legs": (
        "Leitung {run}: {n} {n|Schenkel fällt|Schenkel fallen} {asked} oder mehr, {n|er|jeder} zum verlangten Ende "
        "hin; in der Achse beginnt die Leitung auf z {start} und endet auf z {finish}"
    ),
    "clash.open mesh": (
        "{thing} ist ein offenes Netz: nur eine Oberfläche, eine Leitung darin gilt nicht als Überschneidung"
    ),
    "clash.flats": "{thing} wurde an ebenen Flächen gemessen, die bis zu {off} von den wahren Flächen abstehen",
    "clash.many pairs": (
        "es gibt {n} Paare von Leitungen: solche mit mehr als {far} Abstand stehen nicht bei den Abständen"
    ),
    "clash.many things": (
        "es gibt {n} Paare von Leitung und Gegenstand: solche mit mehr als {far} Abstand stehen nicht bei den "
        "Abständen; {off} {off|Gegenstand ist|Gegenstände sind} so weit von jeder Leitung"
    ),
    # The bender and the former
    "bender.order": "{order} biegen",
    "bender.way out": "zu biegen ist sie so: {way}",
    "bender.one pull": "Bogen {bend}",
    "bender.one pull, by finish": "Bogen {bend}, auf der Endseite gehalten,",
    "bender.pulls": "die Bögen {bends} in dieser Reihenfolge",
    "bender.pulls, all by finish": "die Bögen {bends} in dieser Reihenfolge, alle auf der Endseite gehalten,",
    "bender.pulls, some by finish": "die Bögen {bends} in dieser Reihenfolge, dabei {some} auf der Endseite gehalten,",
    "bender.mark lost": (
        "bei Biegung {pull} läge der Anriss der Biegematrize für Bogen {bend} {lost}; dort anreißen, wo der Bogen "
        "beginnt, {at} vom Anfang, und diesen Anriss an den Rundungsbeginn bringen"
    ),
    "bender.generic former": (
        "Leitung {run} ist nach allgemeiner Praxis für {former} berechnet: vor dem Zuschneiden die eigene "
        "Biegematrize ausmessen"
    ),
    "bender.other radius": (
        "{bender} wurde mit einer Biegematrize vom Radius {measured} ausgemessen, "
        "gebogen wird {formers|die Leitung|ein Teil der Leitung} mit {radius}"
    ),
    "former.not given": (
        "für {tube} ist keine Biegematrize angegeben: es gilt {former} mit Radius {radius}; "
        "vor dem Zuschneiden die eigene Biegematrize ausmessen"
    ),
    "former.assumed": (
        "{former}: {missing} {missing|ist|sind} nicht angegeben und nach allgemeiner Praxis von {generic} übernommen: "
        "selbst ausmessen, oder 0 schreiben, wo 0 gemeint ist"
    ),
    "former.learned": "{former}: {figures}, in 19 von 20 Fällen, gelernt von den Stücken in {file}",
    "former.learned nothing": "{former}: die Stücke in {file} enthalten keine Messung, die etwas darüber sagt",
    "former.drifted": "{former}: {changes}; die Bogen davor zählen nur als stetiger Verschleiß",
    "former.springback": "Rückfederung ({share} % des Winkels)",
    "former.springback, fixed": "Rückfederung ({fixed} Grad und {share} % des Winkels)",
    "former.hold": "Einspannlänge ({hold})",
    "former.guide": "Führungslänge ({guide})",
    "former.guide, block": "Führungslänge ({guide}, mit einem Gleitstück von {block})",
    # What bending does to the tube
    "damage.of runs": "{n|Leitung|Leitungen} {runs}{more}: {said}",
    "damage.more runs": " und {n} weitere",
    "damage.measured": "{radius} \u00b1 {within}",
    "damage.published": "kleinsten veröffentlichten, {least} ({source})",
    "damage.below least": "der Radius von {radius} liegt {below} unter dem {published}",
    "damage.least within": (
        "der gemessene Radius von {radius} liegt unter dem {published}, der innerhalb seiner Unsicherheit liegt; "
        "weitere Probestücke schaffen Klarheit"
    ),
    "damage.breaks": (
        "der Bogenrücken dehnt sich um etwa {stretch} %, und der Zustand {temper} bricht bei {breaks} % ({source}); "
        "weichglühen, einen weicheren Zustand nehmen oder Fittings verwenden"
    ),
    "damage.left to measure": (
        "die Wand am Bogenrücken wird etwa {wall} dünn (Schätzung); quer in der Bogenmitte gemessen darf der größte "
        "Durchmesser den kleinsten um höchstens {out_of_round} übertreffen"
    ),
    "damage.needs support": "ein Radius von {radius} braucht Abstützung: {support}",
    "damage.keep spring in": "die Biegefeder bis über beide Enden jedes Bogens hinaus einlegen",
    "damage.guide in": "vor jeder Biegung das Gleitstück einlegen",
    "damage.groove": "eine Biegematrize mit Rille und Gleitstück",
    "damage.groove or spring": "eine Biegematrize mit Rille und Gleitstück, oder eine passende Biegefeder",
    "damage.no such spring": ("Innenbiegefedern gibt es für Rohre 12, 15 und 22, nicht für {outside} (BS 5431)"),
    "damage.tight spring": (
        "ein Federbogen hat gewöhnlich 4 x den Durchmesser, {usual}, oder mehr (City & Guilds Plumbing Book 1, 2019, "
        "S. 95-97; der Leitfaden eines Rohrherstellers verlangt etwa 5 x); {radius} wirft leicht Falten"
    ),
    # Clips
    "clips.planned": "Leitung {run}: Schellen {clips}",
    "clips.clip": "{n}: {at} entlang des Rohrs, auf {face} {across} und {up}",
    "clips.gap": (
        "Leitung {run}: {without} ohne Schelle, von {low} bis {high} entlang des Rohrs, "
        "wo höchstens {allowed} zulässig sind: {reason}"
    ),
    "clips.too many": "bei Abständen von {least} wären mehr als {most} Schellen nötig",
    "clips.no face": "Schenkel {leg} liegt an keiner Fläche von {faces}",
    "clips.behind": "Schenkel {leg} liegt hinter der Fläche von {face}",
    "clips.standoff": "die Achse von Schenkel {leg} steht {stands} von {face} ab, und die Schelle hält auf {holds}",
    "clips.reach": "die Achse von Schenkel {leg} steht {stands} von {face} ab, und eine Schelle reicht bis {holds}",
    "clips.edge": (
        "Schenkel {leg} liegt jenseits der Kanten von {faces}, oder näher daran als die {edge}, die eine Schraube "
        "braucht"
    ),
    "clips.no room": "Schenkel {leg}, {length} lang, lässt neben Bögen und Fittings keinen Platz für eine Schelle",
    "clips.no nearer place": "Flächen und Bögen lassen keinen näheren Platz für eine Schelle",
    "tape.measure": "{far} {reference}",
    "tape.from": "von {thing}",
    "tape.inside corner": "von der Innenecke von {thing}",
    "tape.edge": (
        "von der {side|left=linken|right=rechten|bottom=unteren|top=oberen|west=westlichen|east=östlichen|"
        "south=südlichen|north=nördlichen} Kante von {thing}"
    ),
    "tape.of opening": (
        "{side|to the left of=links von der|to the right of=rechts von der|below=unter der|above=über der|"
        "west of=westlich der|east of=östlich der|south of=südlich der|north of=nördlich der} Öffnung oder "
        "Stufe in {thing}"
    ),
    "tape.of start": (
        "{side|to the left of=links vom|to the right of=rechts vom|below=unter dem|above=über dem|west of=westlich vom|"
        "east of=östlich vom|south of=südlich vom|north of=nördlich vom} Anfang der Leitung"
    ),
    # Stock and joints
    "stock.more runs": (
        "{n} weitere Leitungen sind länger als neue Stangen, {new}; wo sie gestoßen werden können, wurde nicht gesucht"
    ),
    "stock.too long": "Leitung {run} braucht {cut}, und die längste Stange hat {longest}{assumed}",
    "stock.assumed": " (angenommen: der Auftrag nennt keine Stangen)",
    "stock.jointed": "{too_long}: in {n} Stücke teilen und verbinden, vom Anfang an entlang der Leitung bei {joints}",
    "stock.not jointed": "{too_long}; {why}",
    "stock.joint": "{at}",
    "stock.joint from": "{at} (von {side} gelötet, abgewandt von {other})",
    "stock.piece too long": (
        "{piece} braucht {needs} in einem Stück, und die längste Stange hat {reach}; "
        "Stangen von mindestens {needs} nehmen oder die Leitung teilen"
    ),
    "stock.no offcut": "{piece} ist länger als eine neue Stange, und kein Reststück ist dafür übrig",
    "joints.too many pieces": "das sind mehr als {most} Stücke: als mehrere Leitungen schreiben",
    "joints.no room": (
        "Leitung {run} hat keine Gerade mit Platz für eine Muffe: nötig sind {need} Gerade zwischen den Bögen, "
        "von einer Seite zugänglich"
    ),
    "joints.no division": (
        "Leitung {run} lässt sich dort, wo eine Muffe zugänglich ist, nicht in Stücke von höchstens {most} und "
        "mindestens {least} teilen, die sich alle biegen lassen: Platz für eine Muffe schaffen, die im Biegeplan "
        "genannten Schenkel verlängern oder längere Stangen nehmen"
    ),
    "joints.no offcut": (
        "Leitung {run} braucht Stücke, die länger sind als eine neue Stange, {stock}, und kein Reststück ist dafür "
        "übrig; {why}"
    ),
    "joints.no coupling": (
        "wie tief ein Rohr von {outside} in ein Lötfitting geht, steht in keiner Tabelle: die Tiefe angeben"
    ),
    # Notes on a run
    "corner.repeated": "Punkt {point} wiederholt Punkt {one} und wird mit ihm zusammengelegt",
    "corner.merged": "Punkt {point} liegt {off} von Punkt {one} und wird mit ihm zusammengelegt",
    "corner.in line": "Punkt {point} liegt in einer Linie mit den Punkten {one} und {other}: dort kein Bogen",
    "corner.straightened": (
        "Punkt {point} verlangt einen Bogen von {angle} Grad, zu klein zum Biegen (mindestens {least}): das Rohr geht "
        "gerade von Punkt {one} zu Punkt {other} und in {aside} daran vorbei; das Ende bleibt, wo es angegeben ist"
    ),
    "item.former not used": "Schritt {item} ergibt keinen Bogen, deshalb wird {former} dort nicht verwendet",
    "corner.former not used": "Punkt {point} ergibt keinen Bogen, deshalb wird {former} dort nicht verwendet",
    "bends.one corner": (
        "die Bögen {one} und {other} stoßen aneinander und gehen in dieselbe Richtung: zusammen sind sie einer von "
        "{together} Grad, und als eine Ecke geschrieben nur eine Biegung"
    ),
    "bends.one return": (
        "die Bögen {one} und {other} stoßen aneinander und gehen in dieselbe Richtung: zusammen sind sie einer von "
        "{together} Grad, und als U-Bogen geschrieben nur eine Biegung"
    ),
    "ends.trim": "am Ende bleiben {trim} stehen, die nach dem Biegen abgeschnitten werden",
    "ends.goes in": (
        "{end}: das Rohr geht {depth} in "
        "{fitting|elbow=einen Winkel|tee=ein T-Stück|capillary=ein Lötfitting|compression=eine Klemmverschraubung|"
        "press=ein Pressfitting} ({source})"
    ),
    "ends.ends beyond": (
        "{goes_in} und endet deshalb {beyond} hinter dem angegebenen Punkt: "
        "{point|centre=das ist die Mitte|mouth=das ist die Mündung} des Fittings"
    ),
    "ends.ends short": (
        "{goes_in} und endet deshalb {beyond} vor dem angegebenen Punkt: "
        "{point|centre=das ist die Mitte|mouth=das ist die Mündung} des Fittings"
    ),
    "passover.flat": (
        "das Flachstück über {thing} misst von Mitte zu Mitte {flat}, damit die Biegematrize es halten kann; "
        "der Abstand allein braucht {needed}"
    ),
    "passover.too high": (
        "Bögen mit diesem Radius und Winkel heben das Rohr höher über {thing} als nötig: der Abstand ist {has}, "
        "nicht {gap}; ein kleinerer Winkel folgt enger"
    ),
}
