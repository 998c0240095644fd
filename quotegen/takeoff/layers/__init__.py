"""What we lay, layer by layer: deck, boards, mat, resin, topcoat, insulation."""
