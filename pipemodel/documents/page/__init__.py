"""The hand-over page: one HTML file that asks nothing of any network."""
