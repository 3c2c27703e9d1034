"""From corners to bends, marks and pulls: the trade's own arithmetic."""
