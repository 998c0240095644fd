"""The register of issued papers and their revisions; nothing is ever overwritten."""
