"""What is said of ways that are found."""

FINDING = {
    "finding.run": "finding a way for {run}",
    "finding.bends": "looking with {n} {n|bend|bends}",
    "finding.other": "looking for another way ({n})",
    "finding.missed": "no way found; looking for the nearest miss",
}
