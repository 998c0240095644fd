"""Making the papers: which there are, how they are drawn up, put in place and entered."""
