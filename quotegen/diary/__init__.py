"""The firm's diary: all jobs laid against the crews it has."""
