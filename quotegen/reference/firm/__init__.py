"""What the firm takes for granted, advises and says: the house tables read into records."""
