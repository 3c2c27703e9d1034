"""A piece put right while it is bent: what readings say of the bends made, and what to do with those to come."""
