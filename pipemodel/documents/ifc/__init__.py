"""The runs as a building model: IFC 4 (ISO 16739-1)."""
