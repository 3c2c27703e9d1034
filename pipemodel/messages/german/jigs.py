"""What is said of checking jigs, in German."""

TEMPLATES = {
    "jig.of part": "{part}: {fault}",
    "jig.steep leg": "Schenkel {leg} stünde mit {slope} Grad steiler, als ein offener Sattel hält",
    "jig.no straight": "kein Schenkel ist gerade lang genug für einen Sattel: die Endschenkel verlängern",
    "jig.too high": (
        "an Schenkel {leg} wäre die Lehre {high} hoch, und das Druckbett hat {bed}: auf einem höheren Drucker drucken, "
        "oder die Leitung an einem Fitting teilen und für jedes Stück eine Lehre machen"
    ),
    "jig.long post": (
        "auf Schenkel {leg} brauchte ein Sattel einen Pfosten von {post}, und längere als {most} schwanken: eine Lehre "
        "für einen Teil des Stücks machen (bends:) oder mit Bandmaß und Karte prüfen"
    ),
    "jig.posts too long": (
        "wie es auch liegt, ein Sattel stünde {post} hoch, und Pfosten länger als {most} schwanken: eine Lehre für "
        "einen Teil des Stücks machen (bends:) oder mit Bandmaß und Karte prüfen"
    ),
    "jig.crowded": (
        "{what|stop=kein Anschlag|cradle=kein Sattel} an Schenkel {leg} steht innerhalb der {bed} Höhe des Druckbetts "
        "frei vom übrigen Rohr: die Leitung kommt sich selbst zu nahe; in zwei Stücken, mit einem Fitting verbunden, "
        "bekommt sie zwei Lehren"
    ),
    "jig.through itself": (
        "die Leitung geht bei {at} durch sich selbst: einen anderen Weg geben, dann folgt die Lehre"
    ),
    "jig.lowest too high": (
        "die niedrigste Lage ist {high} hoch, und das Druckbett hat {bed}: auf einem höheren Drucker drucken, "
        "oder die Leitung an einem Fitting teilen und für jedes Stück eine Lehre machen"
    ),
    "jig.always steep": (
        "in jeder Lage steht ein Schenkel steiler als {most} Grad, und ein offener Sattel hielte ihn nicht: "
        "die Leitung an einem Fitting teilen und für jedes Stück eine Lehre machen"
    ),
    "jig.no such bend": (
        "es gibt keinen Bogen {bend}, es sind {count}: bends: mit erstem und letztem Bogen schreiben, etwa [1, 2]"
    ),
    "jig.topples": (
        "das Stück würde aus seinen Sätteln kippen: sein Gewicht liegt außerhalb; einen Endschenkel verlängern"
    ),
    "jig.needs bed": (
        "{towers} ein Druckbett von {x} x {y}; vorhanden ist {bed}: auf einem größeren Drucker drucken, "
        "oder die Türme auf ein Brett setzen (base: board)"
    ),
    "jig.one cradle": "Sattel {cradle} braucht mit seinem Fuß",
    "jig.cradles": "die Sättel {cradles} stehen zu dicht für eine Verbindung dazwischen und brauchen",
    "jig.weight is little": (
        "Gewicht: kein Schenkel biegt sich unter dem eigenen um mehr als {most} durch, weniger als ein Viertel seiner "
        "Rille (Kragarm w L^4 / 8EI, Tafel nach Roark, Gleichlast). In dieser Lehre "
        "gilt das für Schenkel bis {longest}."
    ),
    "jig.weight hides": (
        "Gewicht (Kragarm w L^4 / 8EI, Tafel nach Roark, Gleichlast; in der Tafel mitgezählt) verdeckt einen "
        "Teil einer Abweichung nach oben oder unten, wo ein waagerechter Schenkel länger als {longest} ist, denn er "
        "drückt sich in seine Rillen. Solche Schenkel ansehen, bevor das ferne Ende abgelegt wird, oder ihre Bögen mit "
        "der Winkellehre beurteilen:"
    ),
    "jig.leg sags": (
        "Schenkel {leg}: bis zu {hides} am fernen Sattel, {angle}\u00b0; hängt zwischen den Sätteln {sags} durch"
    ),
    "jig.reading": "Bogen {bend}, {shows}",
    "jig.shows": "{what|angle=Winkel|turn=Verdrehung}: {shows}",
    "jig.shows nowhere": "Bogen {bend}, kein Sattel danach",
    "jig.stray": "{off} an Sattel {cradle}",
    "jig.left": "{off} links",
    "jig.right": "{off} rechts",
    "jig.up": "{off} hoch",
    "jig.down": "{off} tief",
    "jig.both": "{one} {other}",
    "jig.next to nothing": "so gut wie nichts",
    "print.open": "das Netz ist nicht geschlossen",
    "print.bodies": "es zerfällt in {n} Teile, oder hängt an weniger als {neck} zusammen",
    "print.slit": "ein Schlitz schmaler als {slit} auf {over} mm2 einer Schicht",
    "print.too long": "es reicht {reach} entlang {axis}, und das Druckbett hat {has}",
    "print.too small": "zu klein zum Anfassen: {volume} cm3, {wide} breit",
    "print.not flat": "nur {flat} mm2 davon liegen auf dem Druckbett",
    "print.overhang": "ein Überhang von {angle} Grad gegen die Senkrechte",
    "print.thin": "Wände dünner als {wall} auf {over} mm2 einer Schicht",
}
