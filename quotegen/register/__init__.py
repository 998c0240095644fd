"""What was issued, in which revision; nothing is ever overwritten."""
