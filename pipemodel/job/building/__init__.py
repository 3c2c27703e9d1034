"""Building terms: walls, floors, joists and the like as a builder measures them, and the shapes they stand for."""
