"""Papers: from records to view models, drawings, HTML and PDF."""
