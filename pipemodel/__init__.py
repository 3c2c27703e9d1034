"""Hand-bent tube, worked out before the first pull."""
