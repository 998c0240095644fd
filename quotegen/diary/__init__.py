"""The firm's diary: all jobs planned for the crews it has."""
