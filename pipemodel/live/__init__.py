"""The live view: a small server for this machine alone, which shows a job again whenever its file is saved."""
