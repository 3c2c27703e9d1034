"""Pages of text: the schedule, what the checks found, what to cut."""
