"""The method statement put together, and the plan for the construction phase."""
