"""The days of a job: when something may be laid, and what is done when."""
