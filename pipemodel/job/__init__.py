"""What the user wrote: a typed model, and the reader that makes it from YAML with line and column."""
