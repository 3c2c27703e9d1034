"""A former's own figures, from test pieces as measured."""
