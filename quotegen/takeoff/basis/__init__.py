"""What every part of the take-off starts from: one build-up of one roof, and what packs cost."""
