"""Why a run cannot be pulled, and what the hands do at each pull, in German."""

TEMPLATES = {
    # Why no order of pulls works
    "pull.bends nothing": (
        "Bogen {bend} von {angle} Grad würde bis {pull} gebogen, das biegt nichts: Rohr federt auf, "
        "die Rückfederung von {spring} dort muss über 0 liegen"
    ),
    "pull.too far": (
        "Bogen {bend} von {angle} Grad muss bis {pull} gebogen werden; die Biegematrize geht nicht weiter als {most}"
    ),
    "pull.too short": "{leg}: {has} vorhanden, {needs} nötig, {what_for}: um {more} verlängern{cut_off}",
    "pull.can be cut off": " (nach dem Biegen abschneidbar)",
    "pull.to hold": "um die Biegung daneben zu halten",
    "pull.to guide": "um die Biegung daneben zu führen",
    "pull.to hold and guide": (
        "damit die Biegematrize auf {hold} halten und auf {guide} führen kann, noch ungebogenes Rohr eingerechnet"
    ),
    "pull.spread legs": "die Schenkel weiter auseinander legen",
    "pull.longer keeps clear": "{leg} um {more} länger hält es frei",
    "pull.crosses itself": (
        "wie gezeichnet gebogen, geht das Rohr ({place}) {deep} in sich selbst ({other}), gleich in welcher "
        "Reihenfolge; {way_out}"
    ),
    "pull.blocked": (
        "Bogen {bend}{made} lässt sich, auf der {held|start=Anfangsseite|finish=Endseite} gehalten, nicht biegen: "
        "auf der {side|held=gehaltenen|free=freien} Seite {goes}, {place}, bei {angle} Grad{way_out}"
    ),
    "pull.goes in": "geht das Rohr {deep} in {into}",
    "pull.touches": "kommt das Rohr zu nahe, um es von einer Berührung zu unterscheiden, an {into}",
    "pull.into itself": "sich selbst ({place})",
    "pull.after bends": " nach {bends|Bogen|den Bögen} {bends}",
    "pull.search cut short": (
        "{way_out} (die Suche wurde abgebrochen: eine nicht geprüfte Reihenfolge kann möglich sein)"
    ),
    "pull.leg longer": "{leg} um {more} länger",
    "pull.leg longer, cut off": "{leg} um {more} länger (nach dem Biegen abschneiden)",
    "pull.longer frees it": "; {legs} {legs|macht|machen zusammen} es möglich{or_joint}",
    "pull.longer frees some": "; {legs} {legs|macht|machen zusammen} einige der Bögen möglich, nicht alle{or_joint}",
    "pull.or a joint": ", oder eine Muffe: {leg}",
    "pull.a joint frees it": "; eine Muffe macht es möglich: {leg}",
    "pull.nothing frees it": "; weder längere Schenkel noch eine Muffe helfen, soweit gesucht wurde",
    # Parts of a bender, in the accusative
    "bender part.own": "\u201e{part}\u201c",
    "bender part.bench": "die Werkbank",
    "bender part.block": "das Gleitstück",
    "bender part.far leg": "das von Ihnen abgewandte Standbein des Biegegeräts",
    "bender part.far plate": "die untere Lasche des Hebels",
    "bender part.fixed handle": "den festen Griff des Biegegeräts",
    "bender part.floor": "den Boden",
    "bender part.former": "die Biegematrize",
    "bender part.frame": "den Rahmen des Biegegeräts",
    "bender part.handle": "den Hebel",
    "bender part.lower rim": "den unteren Rand der Biegematrize",
    "bender part.near leg": "das Standbein des Biegegeräts auf Ihrer Seite",
    "bender part.near plate": "die obere Lasche des Hebels",
    "bender part.post": "die Säule des Biegegeräts",
    "bender part.right leg": "das Standbein des Biegegeräts rechts von Ihnen",
    "bender part.roller": "die Rolle des Hebels",
    "bender part.stop": "den Anschlag",
    "bender part.stop bracket": "den Halter des Anschlags",
    "bender part.upper rim": "den oberen Rand der Biegematrize",
    "bender part.vice": "den Schraubstock",
    # What to draw otherwise, so that an order works
    "way.of bends": "{of|set=die Etage|passover=der Überbogen} aus den Bögen {first} bis {last}",
    "way.angle": "{which} mit {to}° statt {was}°{kept}{first}",
    "way.top angle": "{which} mit oben {to}° statt {was}°{kept}{first}",
    "way.offset kept": ", mit dem Versatz von {offset} wie gezeichnet",
    "way.place": "{which} um {by} {way|on=weiter weg vom|back=näher am} Anfang gezeichnet{first}",
    "way.offset": "{which} mit einem Versatz von {to} statt {was}{first}{finish}",
    "way.leg": "{leg} um {more} länger{cut_off}{finish}",
    "way.first": "; zuerst gebogen",
    "way.written": "{way}; {write}",
    "way.write": "dafür im Auftrag schreiben: {edits}",
    "way.points": "points: {text} statt {instead} (Leitung in Zeile {line})",
    "way.point": "Punkt {n}: {text} (Zeile {line})",
    "way.edit": "{text} (Zeile {line})",
    "way.finish moves": "; das Ende wandert dann um {by}",
    # The card of a pull
    "card.mark": "Anriss bei {at} vom Anfang, rechtwinklig um das Rohr{check}",
    "card.mark beginning": (
        "Anriss bei {at} vom Anfang, wo der Bogen beginnt, rechtwinklig um das Rohr (der Anriss der Biegematrize "
        "selbst läge {lost}){check}"
    ),
    "mark.off the tube": "neben dem Rohr, jenseits von dessen {end}",
    "mark.on a bend": "auf oder jenseits von Bogen {bend}, der schon gebogen ist",
    "card.check": "; Kontrolle: {far} {how}",
    "card.from back": "vom Rücken von Bogen {bend}{at}",
    "card.inside line": (
        "Innenlinie von Bogen {bend} anreißen: {far} um das Rohr herum ({angle}°){way} von der von Bogen {last}"
    ),
    "card.inside line on": "Innenlinie von Bogen {bend} in der Flucht der von Bogen {last} anreißen",
    "card.seen from start": " {way}, vom Anfang aus gesehen,",
    "card.put in": "einsetzen: {former}",
    "card.put in, radius": "einsetzen: {former}, Radius {radius}",
    "card.change former": "Biegematrize wechseln: {put_in}",
    "card.lay": "{left|start=Anfang|finish=Ende} nach links{stop}; {right|start=Anfang|finish=Ende} nach rechts",
    "card.in the stop": ", in den Anschlag",
    "card.turn end for end": (
        "Rohr umdrehen, Ende gegen Anfang: {left|start=Anfang|finish=Ende} nach links{stop}; "
        "{right|start=Anfang|finish=Ende} nach rechts"
    ),
    "card.any side up": (
        "beliebige Seite oben; die Innenseite von Bogen {bend} zeigt dann "
        "{faces|you=zu Ihnen|down=nach unten}: dort längs anreißen"
    ),
    "card.same side up": (
        "dieselbe Seite oben wie zuvor: die Innenlinie von Bogen {bend} zeigt "
        "{faces|you=zu Ihnen|away from you=von Ihnen weg|down=nach unten}"
    ),
    "card.roll half": (
        "Rohr eine halbe Umdrehung drehen; die Innenlinie von Bogen {bend} zeigt dann "
        "{faces|you=zu Ihnen|away from you=von Ihnen weg|up=nach oben}"
    ),
    "card.roll": "Rohr um {turn} drehen, Oberseite {side}{faces}",
    "card.then faces": (
        "; Innenlinie von Bogen {bend} zeigt dann "
        "{faces|up=nach oben|down=nach unten|you=zu Ihnen|away from you=von Ihnen weg}"
    ),
    "card.bring to rim": "Rohr schieben, bis der Anriss am Rundungsbeginn der Biegematrize steht",
    "card.bring past": (
        "Rohr schieben, bis der Anriss {far} hinter dem Rundungsbeginn der Biegematrize steht, rechtwinklig hinüber"
    ),
    "card.bring short": (
        "Rohr schieben, bis der Anriss {far} vor dem Rundungsbeginn der Biegematrize steht, rechtwinklig hinüber"
    ),
    "card.bring to square": (
        "Rohr schieben, bis der Anriss {far} hinter dem Rundungsbeginn der Biegematrize steht, "
        "wo ein Winkel am Matrizenrand das Rohr trifft"
    ),
    "card.spring at mark": ("Biegefeder über den Bogen schieben, Knie darunter: der Bogen beginnt am Anriss"),
    "card.spring off mark": (
        "Biegefeder über den Bogen schieben, Knie darunter: der Bogen beginnt {far} neben dem Anriss, "
        "auf der Seite des {end|start=Anfangs|finish=Endes}"
    ),
    "card.guide in": "Gleitstück einlegen, Hebel anlegen{level}",
    "card.spring in": "Rohr zu beiden Seiten der Feder halten{level}",
    "card.beyond": "; das Rohr jenseits von Bogen {bend} {stands}",
    "card.plumb up": "steht lotrecht nach oben",
    "card.plumb down": "hängt lotrecht nach unten",
    "card.level": "liegt waagerecht und zeigt {way}",
    "card.points above": "zeigt {way}, {angle}° über der Waagerechten",
    "card.points below": "zeigt {way}, {angle}° unter der Waagerechten",
    "card.pull": "zu sich hin bis {angle}° biegen und loslassen{back}",
    "card.pull down": "nach unten bis {angle}° biegen und loslassen{back}",
    "card.springs back": "; es federt auf {angle}° zurück",
    "card.take care": "{of}",
    "card.not shown": "Vorsicht, diese Kontrollen zeigen nicht sicher: {mistakes}",
    "card.mistake": (
        "{mistake|angle=Winkel falsch um |twist=Verdrehung um |mark=Anriss falsch um |"
        "no springback=keine Zugabe für die Rückfederung|other mark=Anriss eines anderen Bogens|"
        "wrong end=falsches Rohrende im Anschlag|not rolled=Drehung vergessen|"
        "wrong roll=Drehung in die falsche Richtung|wrong way=Bogen in die falsche Richtung}{out}{moves}"
    ),
    "card.moves": " (höchstens {most} daneben)",
    # What must be true after a pull
    "measure": "{far} {how}",
    "measure.where its backs meet": ", wo sich die Rücken seiner beiden Schenkel treffen",
    "measure.where their backs meet": ", wo sich die Rücken ihrer Schenkel treffen",
    "measure.end to back": "vom {end|start=Anfang|finish=Ende} bis zum Rücken von Bogen {bend}{at}",
    "measure.back to back": "vom Rücken von Bogen {one} bis zum Rücken von Bogen {other}{at}",
    "measure.over legs": "über die Außenseiten der Schenkel vor Bogen {before} und nach Bogen {after}",
    "measure.between legs": "zwischen den Innenseiten der Schenkel vor Bogen {before} und nach Bogen {after}",
    "measure.passover": (
        "über alles, von den Schenkeln vor Bogen {before} und nach Bogen {after} bis zum Rücken von Bogen {top}"
    ),
    "measure.at that bend": ", bei Bogen {bend} dort, wo sich die Rücken seiner beiden Schenkel treffen",
    "measure.by card": "Bogen {bend} hat {angle}° nach seiner Winkelkarte, beide Kanten an seinen Schenkeln",
    "measure.off a leg": (
        "rechtwinklig von einem Lineal am Schenkel {side|before=vor|after=nach} Bogen {bend} bis zur Mitte des Rohrs "
        "{at}, das Lineal auf der {lies|near=zugewandten|away=abgewandten} Seite"
    ),
    "measure.corner": (
        "quer über Bogen {bend}, von einem Bleistiftring {far} vom Rücken des Bogens{at} am einen Schenkel zu einem "
        "ebenso weit entfernten am anderen, oben über beide Rohre"
    ),
    "measure.flat": "das ganze Stück liegt flach auf der Werkbank, mit beiden Schenkeln von Bogen {bend}",
    "measure.at end": "am {end|start=Anfang|finish=Ende}",
    "measure.at ring": "am Bleistiftring {far} vom {end|start=Anfang|finish=Ende}",
    "measure.at ring on leg": (
        "am Bleistiftring am Schenkel {side|before=vor|after=nach} Bogen {bend} ({far} vom Rücken dieses Bogens{at})"
    ),
    "measure.off the bench": (
        "von der Werkbank hinauf zum Rohr {at}, beide Schenkel von Bogen {bend} flach auf der Werkbank{past}"
    ),
    "measure.on the bench": (
        "das Rohr {at} liegt auch auf der Werkbank, beide Schenkel von Bogen {bend} flach darauf{past}"
    ),
    "measure.off the line": (
        "von der Flucht des Schenkels {side|before=vor|after=nach} Bogen {bend} rechtwinklig bis unter das Rohr {at}, "
        "auf der {towards|same=Innenseite|other=Außenseite} dieses Bogens, beide "
        "Schenkel von Bogen {bend} flach auf der Werkbank"
    ),
    "measure.on the line": (
        "das Rohr {at} steht lotrecht über der Flucht des Schenkels "
        "{side|before=vor|after=nach} Bogen {bend}, beide Schenkel von Bogen {bend} flach auf der Werkbank"
    ),
    "measure.off now": "{how}: an diesem Stück {far} daneben",
    "measure.past the edge": ", was tiefer hängt über ihre Kante hinaus",
    "measure.round": (
        "Bogen {bend} ist rund, ohne Abflachung und Falten: in der Mitte quer mit dem Messschieber in einer Richtung "
        "höchstens {most} mehr als in der anderen, sonst fehlte das Gleitstück"
    ),
    "measure.across": "von der Mitte des einen Rohrendes zur Mitte des anderen",
    "look.hand": (
        "beide Schenkel von Bogen {bend} auf der Werkbank, {end|start=Anfang|finish=Ende} oben: "
        "vom Anfang aus gesehen geht Bogen {bend} nach {hand|left=links|right=rechts} ab"
    ),
    "look.hand of leg": (
        "beide Schenkel von Bogen {bend} auf der Werkbank, der Schenkel {side|before=vor|after=nach} Bogen {other} "
        "oben: vom Anfang aus gesehen geht Bogen {bend} nach {hand|left=links|right=rechts} ab"
    ),
    "look.way round": (
        "vom Anfang aus biegt Bogen {bend} {way|same=gleich herum wie|opposite=andersherum als} Bogen {other}"
    ),
    # Why a mistake does not show
    "unseen.straight": "das Rohr ist vor dieser Biegung noch gerade: alle Seiten sind gleich",
    "unseen.both ways": "keine Drehung und eine halbe Umdrehung sind in beiden Richtungen gleich",
    "unseen.flat": (
        "wie weit ein Bogen ohne Gleitstück abflacht, ist nicht bekannt: der Messschieber zeigt, ob es zu weit ist"
    ),
    "unseen.too little": (
        "die deutlichste Ablesung weicht um {far} ab und wird auf ± {within} genau abgelesen: nicht sicher"
    ),
    "unseen.no measure": "kein Maß, das eine Person allein nehmen kann, zeigt es",
    # Turns and rolls
    "turn.first bend": "erster Bogen",
    "turn.same way": "0, wieder gleich herum",
    "turn.other way": "180, anders herum",
    "turn.by": "{size} {way}",
    "turn.eighth": "ein Achtel",
    "turn.quarter": "ein Viertel",
    "turn.three eighths": "drei Achtel",
    "roll.first pull": "erste Biegung: beliebige Seite oben",
    "roll.same side": "0, dieselbe Seite oben",
    "roll.half": "180, halbe Umdrehung",
    "roll.end for end": "umdrehen, Ende gegen Anfang, {roll}",
}
