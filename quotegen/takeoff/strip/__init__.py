"""What comes off the roof: its weight, how it is carried down and where it goes."""
