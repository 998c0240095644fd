"""What comes off the roof: its weight, how it gets down and where it goes."""
