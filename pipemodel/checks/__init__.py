"""The questions asked of a solved job, one file per question, and the findings that answer them."""
