"""What finished pieces say of a former and of the hands that bent them: figures with intervals, scatter, drift."""
