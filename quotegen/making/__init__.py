"""Making the papers: the kinds there are, drawing them up, putting them in place, entering them."""
