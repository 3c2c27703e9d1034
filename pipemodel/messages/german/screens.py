"""What commands say on the screen beside the papers, and the names of everyday bends, in German."""

TEMPLATES = {
    "screen.large": (
        "{file} hat {size} MB: langsam auf einem Telefon, und manches kann sie "
        "nicht öffnen; die {n} Leitungen auf mehrere Aufträge verteilen"
    ),
    "screen.left out": "ausgelassen {files}: {why}",
    "screen.showing": "{job} wird gezeigt; beenden mit Strg-C",
    "bend.to a measure": "Bogen nach Maß",
    "bend.set": "Etage",
    "bend.rolled set": "verdrehte Etage",
    "bend.passover": "Überbogen",
    "bend.about": "Ein Stück: {what}. Längen sind mm, wenn keine Einheit dabeisteht; x ist Osten, y Norden, z oben.",
    "bend.piece": "Stück",
    "bend.obstacle": "Hindernis",
}
