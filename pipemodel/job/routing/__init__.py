"""Runs written as moves and features, the way a fitter says them, compiled to corners."""
