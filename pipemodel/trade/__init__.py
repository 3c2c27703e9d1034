"""The trade's tables: tubes, formers and what belongs to them, as data with a source in every row."""
