"""In which order the bends are pulled, from which end, clear of bender and piece; and what the hands do."""
