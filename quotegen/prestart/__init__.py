"""What a job waits for before it may begin, and the first day that nothing forbids."""
