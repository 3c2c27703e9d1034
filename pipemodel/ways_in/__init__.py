"""How a finished piece is brought to its place: from outside, through an opening, clear of everything on the way."""
