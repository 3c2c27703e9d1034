"""A folder that is written whole or not at all, and the names of the files in it."""
