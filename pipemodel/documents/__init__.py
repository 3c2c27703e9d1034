"""What is handed over: one file per document, each written from the results."""
