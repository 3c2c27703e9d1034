"""What is wrong with a thing of the room, in German."""

TEMPLATES = {
    "fault.room one of": "hier steht eines von {compass}",
    "fault.two lengths": "eine Größe sind zwei Längen, [Breite, Tiefe]",
    "fault.number or over": "mit 'number' angeben, wie viele, oder mit 'over', wie weit; eines von beiden",
    "fault.row most": "{value} davon; in einer Reihe stehen höchstens {most}",
    "fault.row overlap": "sie sind {width} breit und von Mitte zu Mitte {spacing} auseinander: sie überlappen sich",
    "fault.hole beyond": "Loch {number} liegt bei {at}, und sie enden bei {whole}",
    "fault.row side": "Balken, die nach {along} laufen, stehen in einer Reihe quer dazu, nicht nach {row}",
    "fault.hole down": "Loch {number} von Balken sagt mit 'down', wie weit unter ihrer Oberseite seine Mitte liegt",
    "fault.notch deep": "Ausklinkung {number} ist so tief wie der Balken, oder sie reicht über sein Ende",
    "fault.no bay": "es gibt kein Feld {bay}; zwischen {value} Balken sind es {value_2}",
    "fault.across bay": "{across} quer liegt nicht im Feld, das {clear} breit ist",
    "fault.hole across": (
        "Loch {number} von Ständern sagt mit 'across', wie weit drüben seine Mitte liegt; die Hälfte, wenn es fehlt"
    ),
    "fault.beam no length": "der Träger hat keine Länge: 'from' und 'to' sind derselbe Punkt",
    "fault.top or bottom": "mit 'top' oder mit 'bottom' angeben, wo es liegt; eines von beiden",
    "fault.boxing side": "eine Seite einer Verkleidung ist eine von {facing}, nicht {side}",
    "fault.boxing full": "zwischen Platten von {board} bleibt in dieser Verkleidung kein Raum; stimmt ihre Dicke?",
    "fault.stack no height": "das Fallrohr hat keine Höhe: 'from' und 'to' sind gleich",
    "fault.branch off": "Abzweig {number} liegt bei {up} an einem Fallrohr, das von {low} bis {high} geht",
    "fault.branch no length": "Abzweig {number} hat keine Länge",
    "fault.same points": "die Punkte {number} und {number_2} sind gleich",
    "fault.radii": "radii: {radii}, Ecken: {points}; jeder Ecke ihren eigenen geben",
    "fault.room corner back": "Ecke {number} kehrt genau um; eine Umkehr als zwei Ecken schreiben",
    "fault.pipe tight": (
        "ein Bogen mit Radius {radius} ist enger als die Hälfte von {outside} außen; den Radius weglassen, wo auf"
        " Gehrung gefügt ist"
    ),
    "fault.leg taken": "Schenkel {number} ist {leg} lang, und seine Bögen brauchen davon {taken}",
    "fault.radiator level": (
        "ein Heizkörper sieht waagerecht; für eine Fläche in Boden oder Decke einen Quader schreiben"
    ),
    "fault.duct slanted": (
        "Schenkel {number} des Kanals ist weder waagerecht noch senkrecht; für jede Seite eine Platte schreiben"
    ),
    "fault.wall not bay": "'wall' nennt eine Wand, und das Feld ist 'of' Balken",
    "fault.joists lie": "diese Balken stehen nicht aufrecht; das Feld als Umriss schreiben",
    "fault.sleeve bore": "die Hülse hat außen {outside} und innen {diameter}: außen ist es mehr als innen",
    "fault.opening size": "eine Öffnung hat 'width' und 'height', oder sie ist rund, mit 'diameter'",
    "fault.chase way": (
        "ein Schlitz läuft waagerecht oder senkrecht: seine Enden liegen an der Wand entlang oder in der Höhe "
        "auseinander"
    ),
    "fault.wall no length": "die Wand hat keine Länge: 'from' und 'to' sind derselbe Punkt",
    "fault.wall faces": "eine Wand sieht zu einer Seite ihrer Linie; dies liegt darauf",
    "fault.chase past": "Schlitz {number} reicht über die Wand hinaus, die {size} lang und {height} hoch ist",
    "fault.chase through": "Schlitz {number} geht durch die Wand; das als Öffnung schreiben",
    "fault.opening ends": "eine Öffnung hat 'from' und 'to', oder sie ist rund, mit 'at' und 'diameter'",
    "fault.slab far": "mit 'from' und 'to' oder mit 'outline' angeben, wie weit es geht",
    "fault.void side": "eine Seite eines Hohlraums ist eine von {sides}, nicht {side}",
    "fault.void form": "ein Hohlraum hat 'from' und 'to', einen 'outline' mit 'bottom' und 'top', oder 'bay' und 'of'",
    "fault.void open": (
        "ein Hohlraum mit Umriss kann nach 'up' und 'down' offen sein; andere Seiten hat sein Umriss nicht"
    ),
    "fault.void empty": (
        "ein Hohlraum ohne Raum: seine Enden sind gleich, oder seine Oberseite liegt unter seiner Unterseite"
    ),
    "fault.void all open": "ein Hohlraum, der auf allen Seiten offen ist, hält nichts",
    "fault.door way": "eine Tür geht waagerecht von ihren Bändern ab und öffnet sich waagerecht im rechten Winkel dazu",
    "fault.faces level": "es sieht waagerecht, oder genau nach oben oder unten",
    "fault.box flat": (
        "der Quader hat entlang {axis|x=x (West nach Ost)"
        "|y=y (Süd nach Nord)|z=z (unten nach oben)} keine Dicke: beide Ecken liegen bei {a}; ihm eine geben, oder "
        "eine Fläche daraus machen"
    ),
    "fault.cylinder no length": "der Zylinder hat keine Länge: 'from' und 'to' sind derselbe Punkt",
    "fault.cone diameters": "ein Kegel hat zwei Durchmesser, [den bei 'from', den bei 'to']",
    "fault.cone no length": "der Kegel hat keine Länge: 'from' und 'to' sind derselbe Punkt",
    "fault.extrusion flat": "die Extrusion hat keine Höhe: 'from' und 'to' sind beide {to_2}",
    "fault.plate square": "'across' und 'up' einer Platte stehen rechtwinklig zueinander; diese nicht",
    "fault.why free": (
        "angeben, warum es frei bleibt, etwa reach of a hand; ein fester Körper hat keinen solchen Schlüssel"
    ),
    "fault.cut within": "was aus {given} geschnitten wird, steht darin, als openings oder holes",
    "fault.free size": "was frei bleibt, hat seine eigene Größe; einen Quader schreiben, oder einen Umriss mit Höhe",
    "fault.sleeve for": "eine Hülse sagt mit 'for', was hindurchgeht, und steht einmal; jede für sich schreiben",
    "fault.runs with": (
        "'runs' gehört zu einem Hohlraum oder zu dem, was frei bleibt; ein fester Körper ist allen im Weg"
    ),
    "fault.no facing": (
        "{value} ist keine Richtung, in die etwas sieht; {facing} oder eine Richtung [x, y, z] schreiben"
    ),
    "fault.face looks": "eine Fläche sieht nach {facing}, oder in eine Richtung aus drei Zahlen [x, y, z]",
    "fault.no way": (
        "eine Richtung ohne Länge; eine Fläche sieht nach north, south, east, west, up, down oder [x, y, z]"
    ),
    "fault.plan point": "ein Punkt eines Umrisses im Grundriss sind zwei Längen, [x, y]",
    "fault.strain or proof": "strain und proof stress geben beide die Grenze an; eines weglassen",
    "fault.proof range": "proof stress ist {stress}; es muss von 1 bis {proof} N/mm2 sein",
    "fault.how far": "{value} sagt nicht, wie weit; yes, no oder {example} schreiben",
    "fault.arm size": "kein Arm ist länger oder dicker als {arm}; nachsehen, ob die Zahlen mm sind",
    "fault.hole through": "ein Loch geht durch {through}, nicht {value}",
    "fault.hole for": "'clearance' und 'bare' eines Lochs gelten den Leitungen, für die es ist; sie nennen: for: [...]",
    "fault.hole form": (
        "ein Loch ist rund, mit 'at' und 'diameter', oder eine Öffnung mit rechten Winkeln, 'from' und 'to'"
    ),
    "fault.outline most": "der Umriss und seine Öffnungen haben zusammen mehr als {corners} Ecken",
    "fault.opening beside": "Öffnung {number} liegt neben dem Umriss",
    "fault.opening within": "von den Öffnungen {other} und {number} liegt eine in der anderen",
    "fault.holes same way": "alle Löcher eines Dings gehen in derselben Richtung hindurch; zwei Dinge daraus machen",
    "fault.box thin": (
        "dieser Quader ist in mehr als einer Richtung gleich dünn; angeben, wie ein Loch geht: through: {thin}"
    ),
    "fault.holes in": (
        "nur ein Quader, eine Extrusion oder eine Platte kann Löcher haben; dieses Ding als eines davon angeben"
    ),
    "fault.opening flat": "diese Öffnung hat keine Größe: von vorn gesehen liegen ihre Ecken auf einer Linie",
    "fault.plate openings": "diese Platte hat 'openings'; auch die mit rechten Winkeln dort schreiben",
    "fault.opening edge": (
        "eine Öffnung reicht bis an den Umriss dieses Dings; in den Umriss eine Ausklinkung schreiben"
    ),
    "fault.nothing left": "die Öffnungen lassen von diesem Ding nichts übrig",
    "fault.openings touch": (
        "zwei Öffnungen, oder eine Öffnung und eine Seite, berühren sich an einer Ecke; sie überlappen lassen "
        "oder trennen"
    ),
    "fault.hole breaks": (
        "dieses Loch bricht durch eine Seite des Dings: seine Mitte liegt {side} davon, sein Radius ist {radius};"
        " eine Öffnung mit rechten Winkeln darf das"
    ),
    "fault.hole runs": "dieses Loch überschneidet ein früheres um {near}; eine Öffnung daraus machen",
    "fault.outline crosses": "der Umriss kreuzt sich selbst; die Ecken der Reihe nach um das Loch angeben",
    "fault.outside plane": (
        "outside liegt in der Ebene der Öffnung; einen Punkt auf der Seite angeben, von der man kommt, neben "
        "dieser Ebene"
    ),
    "fault.no area": "diese Ecken umschließen keine Fläche; den Umriss eines Lochs angeben, Ecke um Ecke",
    "fault.not plane": "diese Ecken liegen nicht in einer Ebene (eine steht {off} mm davon ab); eine Öffnung ist eben",
    "fault.corner twice": (
        "eine Ecke kommt zweimal vor; jede Ecke einmal angeben, und die erste am Ende nicht wiederholen"
    ),
    "fault.a thing": "ein Ding ist eines von {names}; {has}",
    "fault.outline three": "ein Umriss braucht mindestens drei Ecken",
    "fault.outline repeats": "Ecke {corner} des Umrisses kommt zweimal vor; eine weglassen",
    "fault.outline meets itself": (
        "der Umriss kreuzt oder berührt sich selbst: die Seite ab Ecke {one} trifft die ab Ecke {other}; die "
        "Ecken der Reihe nach angeben"
    ),
    "fault.opening n": "Öffnung {n}",
    "fault.the outline": "den Umriss",
    "fault.opening meets": "Öffnung {number} trifft {what}",
    "fault.cone even": (
        "beide Enden des Kegels haben einen Durchmesser von {d}; {mend|cylinder=einen Zylinder mit diesem "
        "Durchmesser schreiben|more=eines muss mehr als 0 haben}"
    ),
    "fault.opening past": (
        "Öffnung {number} endet {end} {way|along=die Wand entlang|up=die Wand hinauf}, die in dieser Richtung "
        "{whole} hat"
    ),
    "fault.off wall": (
        "{at} {way|along=entlang|up=hinauf} liegt nicht darauf: die Wand ist {most} {way|along=lang|up=hoch}; "
        "darüber hinaus [x, y, z] angeben"
    ),
    "fault.along bay": (
        "{along} entlang liegt nicht im Feld: die Balken sind {long} lang; darüber hinaus [x, y, z] angeben"
    ),
    "fault.down bay": "{down} hinunter liegt nicht im Feld: die Balken sind {deep} hoch; darunter [x, y, z] angeben",
    "fault.in number": "{what|hole=Loch|notch=Ausklinkung} {its} ist in Nummer {n}; es gibt {all}",
    "opening.filled": (
        "die Öffnung {opening} ist kein Loch: {thing} füllt sie aus; dort ein Loch in {thing} schneiden oder die Ecken "
        "versetzen"
    ),
    "opening.touches nothing": (
        "die Öffnung {opening} berührt nichts: keine Seite von ihr liegt näher als {within} mm an einem Ding im Raum; "
        "die Wand oder Platte beschreiben, in der sie ein Loch ist"
    ),
    "opening.outside": (
        "outside der Öffnung {opening} liegt auf der Seite, auf der {run} liegen soll; einen Punkt auf der anderen "
        "Seite angeben, von der man kommt"
    ),
    "opening.narrow": (
        "ein Rohr von {outside} mit einem Rand von {margin} ringsum braucht {needs}, und die Öffnung {opening} misst "
        "an der engsten Stelle {wide}; {way}"
    ),
    "opening.ask": "höchstens {most} verlangen",
    "opening.widen": "die Öffnung vergrößern",
    "fault.springs back": (
        "wie weit {tube} zurückfedert, ist nicht bekannt; Werkstoff und Zustand schreiben (copper, R250), den "
        "Werkstoff und spread: {{proof stress: 150}}, oder die erlaubte Dehnung: spread: {{strain: 0.0005}}"
    ),
    "opening.reach": (
        "es gibt {names}; eine Hand greift durch eine Öffnung: openings schreiben und den Namen von einer"
    ),
    "opening.reach none": (
        "der Auftrag hat keine openings; eine Hand greift durch eine Öffnung: openings schreiben und den Namen von "
        "einer"
    ),
}
