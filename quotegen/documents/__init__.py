"""From records to papers: view models, drawings, and HTML to PDF."""
