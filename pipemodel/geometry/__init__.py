"""Straights, arcs, the shapes of the room and the distances between them: plain numbers, no kernel."""
