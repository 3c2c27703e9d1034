"""The lists as files: CSV, Markdown, a workbook."""
