"""Building models of others: read in a process of their own, and written as room files."""
