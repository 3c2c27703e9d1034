"""Finding a way: from a point and a direction to a point and a direction, clear of everything, fewest bends first."""
