"""What to cut for a job: which runs are jointed where, and which piece comes from which length of stock."""
