"""How lengths, angles and names are written for people, the same on every paper."""
