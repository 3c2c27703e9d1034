"""Points measured with a tape: where they are, how surely, and which reading cannot be right. In plain Python."""
