"""The declaration of every sheet: what each of its columns may hold."""
