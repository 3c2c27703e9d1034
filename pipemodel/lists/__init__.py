"""The lists of a job as plain tables, each made once."""
