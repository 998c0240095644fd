"""Parts shared by several papers."""
