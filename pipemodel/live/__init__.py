"""The live view: a small server for this machine alone, which shows a job anew whenever its file is saved."""
