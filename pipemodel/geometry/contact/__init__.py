"""Where a tube comes too near to one thing: every separate place, and the least move that clears it there."""

from pipemodel.geometry.contact.moves import least_move
from pipemodel.geometry.contact.places import near_places

__all__ = ["least_move", "near_places"]
