"""What several papers show alike."""
