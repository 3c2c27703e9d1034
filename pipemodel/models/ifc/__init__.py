"""IFC models: what runs in the child process that reads one."""
