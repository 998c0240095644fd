"""What is invoiced, stage by stage, and what is owed."""
