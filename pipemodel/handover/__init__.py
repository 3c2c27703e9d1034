"""What is handed over: one computed record, and one file per document written from it."""
