"""The figures of a job as data and as plain text."""
