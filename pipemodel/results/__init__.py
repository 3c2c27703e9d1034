"""Everything that is known of a job, computed once: what every list and document is made from."""
