"""How far off a piece comes out when hands are not perfect, and whether it still fits."""
