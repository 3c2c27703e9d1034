"""Drawings as plain lines, arcs and words on a sheet in mm, with one file per way of writing them down."""
