"""How to reach the roof and guard its edges."""
