"""The days of a job: when work can be laid, and what is done on which day."""
